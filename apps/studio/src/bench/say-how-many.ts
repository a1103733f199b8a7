import { say } from '../platform/language/say.js';
import type { OlderPictures } from './use-older-pictures.js';

/** '500 of 812', or 'all 12' once no older ones are left to ask for. */
export const sayHowMany = (older: OlderPictures | null, shown: number, total: number): string =>
  older?.ask ? say('{shown} of {total}', { shown, total }) : say('all {total}', { total });
