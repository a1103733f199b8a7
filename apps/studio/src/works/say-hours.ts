import { say } from '../platform/language/say.js';
import { sayFixed } from '../platform/say-number.js';

/** Time of work, as a studio speaks of it. */
export const sayHours = (minutes: number): string =>
  say('{hours} h', { hours: sayFixed(minutes / 60, 1) });
