/** Numbers of the work itself. */
import { say } from '../language/say.js';
import type { Explanation } from './explanation.js';
import { sources } from './sources.js';

export const workFigures = {
  'fit-room': {
    what: say('Room between the trial fit and the opening.'),
    how: say('Tight size of the opening less the trial fit, across and up.'),
    source: sources.plane,
    off: say('As good as both tapes. Below nothing it does not go in: never force it.'),
  },
  'lead-list': {
    what: say('Leads of one kind and width, and their length.'),
    how: say(
      'Leads of the drawing by kind and width class, lengths along their centre lines added up.',
    ),
    source: sources.plane,
    off: say('Nothing is added for waste.'),
  },
  'estimate-made-of': {
    what: say('What the panels are made of, as far as they are drawn.'),
    how: say(
      'Areas, leads, joints and pieces of the lead drawings, added up; panels without a drawing stand apart with a range.',
    ),
    source: sources.plane,
    off: say('As sure as the drawings. Where the range is wide, draw more panels first.'),
  },
  'estimate-hours': {
    what: say('What the work may take, the likeliest and the two ends.'),
    how: say(
      'Lines added up with their own spreads; hours times rate, and materials, in decimal money.',
    ),
    source: sources.own,
    off: say('The ends are meant to hold in four of five cases.'),
  },
  hours: {
    what: say('Hours that were written down, beside those that the estimate expects.'),
    how: say(
      'Minutes of all records of time in this campaign, added up; the expected ones are the range of the newest estimate.',
    ),
    source: sources.own,
    off: say(
      'A lower bound: what nobody wrote down is not in it. The range is meant to hold in four of five cases.',
    ),
  },
} as const satisfies Readonly<Record<string, Explanation>>;
