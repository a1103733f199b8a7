/** Numbers of new work. */
import { say } from '../language/say.js';
import type { Explanation } from './explanation.js';
import { sources } from './sources.js';

export const glassFigures = {
  'cut-sheets': {
    what: say('Sheets that the pieces of a glass take, and how they lie on them.'),
    how: say(
      'Outlines as cut, turned with the streaks, laid where they end farthest left, in several orders; what needs the fewest sheets is shown. Offcuts of the stock come first.',
    ),
    source: sources.own,
    off: say(
      'Nothing overlaps; fewer sheets may be possible. By area alone no way of laying needs fewer than is said.',
    ),
  },
  'cut-cost': {
    what: say('What the glass, the lead and the work of this panel come to.'),
    how: say(
      'Quantities of the cut list × prices of the register, minutes as typed × the rate, in decimal money; lead has a tenth added for offcuts.',
    ),
    source: sources.own,
    off: say('As good as the prices and minutes. Glass that breaks is not in it.'),
  },
} satisfies Readonly<Record<string, Explanation>>;
