/** Numbers of what was found, and of what is first. */
import { say } from '../language/say.js';
import type { Explanation } from './explanation.js';
import { sources } from './sources.js';

export const findingFigures = {
  'finding-measure': {
    what: say('How long, how large or how many, and its share of the piece.'),
    how: say(
      'Length along the line as drawn; area within the outline; per cent: what of it lies on the seen glass of the piece, of all its seen glass; places are counted.',
    ),
    source: sources.plane,
    off: say('As exact as the hand that drew it and the picture it was drawn over.'),
  },
  'finding-count': {
    what: say('Findings that stand recorded here.'),
    how: say('Counted without those that were withdrawn; the ledger keeps both.'),
    source: sources.own,
    off: say('A lower bound: what nobody has looked at is not in it.'),
  },
  extent: {
    what: say('How much of the panel is touched by damage.'),
    how: say(
      'Pieces with at least one recorded damage over all pieces of the panel; earlier repairs are no damage.',
    ),
    source: sources.own,
    off: say(
      'Counts pieces, not area. What was not looked at counts as sound, so it is a lower bound.',
    ),
  },
  ranking: {
    what: say('Which window asks for somebody first.'),
    how: say(
      'The worst urgency of its panels, then the worst class, then the mean extent, then the farthest bulge. Where nobody said how urgent it is, the class stands in.',
    ),
    source: sources.en16096,
    off: say(
      'No points and no weights: a person said each class and urgency. Panels that nobody saw are counted beside, never into it.',
    ),
  },
  'at-least': {
    what: say('How many there are.'),
    how: say(
      'Up to 10 000 hits are counted one by one; beyond that the newest are shown and the count says: at least.',
    ),
    source: sources.own,
    off: say('A lower bound where it says at least; else exact.'),
  },
} as const satisfies Readonly<Record<string, Explanation>>;
