import { say } from './language/say.js';

/** '2b' → 'row 2, second light from the left' (marks: product.md, as seen from inside). */
export function sayPlace(mark: string): string {
  const match = /^(\d+)([a-z]+)$/.exec(mark);
  if (!match) return /^[A-Z]\d+$/.test(mark) ? say('tracery') : mark;
  const letters = match[2]!;
  const index = letters.length === 1 ? letters.charCodeAt(0) - 97 : -1;
  const ordinals = [
    say('first'),
    say('second'),
    say('third'),
    say('fourth'),
    say('fifth'),
    say('sixth'),
    say('seventh'),
    say('eighth'),
  ];
  const light = ordinals[index]
    ? say('{index} light from the left', { index: ordinals[index] })
    : say('light {letters}', { letters });
  return say('row {match} from the bottom, {light}', { match: match[1]!, light });
}
