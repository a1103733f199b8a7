import { say } from './language/say.js';
import { decimalMark } from './language/tongue.js';

/**
 * A finding's measure as records print it, '3.2 cm², 12 % of the piece', in the chosen language.
 * Takes it in the vocabulary's words (`measureText`).
 */
export const sayMeasure = (text: string): string => text.split(', ').map(sayPart).join(', ');

function sayPart(part: string): string {
  const share = / of the piece$/.exec(part);
  if (share) return say('{share} of the piece', { share: part.slice(0, share.index) });
  const places = /^(\d+) places$/.exec(part);
  if (places)
    return say('{count, plural, one {# place} other {# places}}', { count: Number(places[1]) });
  return part.replace('.', decimalMark());
}
