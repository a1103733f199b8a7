/** Numbers of a bulge. */
import { say } from '../language/say.js';
import type { Explanation } from './explanation.js';
import { sources } from './sources.js';

export const bulgeFigures = {
  'bulge-rise': {
    what: say('How far the panel stands out of the plane of its edges, where it does most.'),
    how: say(
      'A smooth surface is laid through the readings, as smooth as their noise asks for; its farthest point over the plane through the edges.',
    ),
    source: sources.spline,
    off: say(
      'The ± is two standard deviations of the readings’ noise, carried through the surface.',
    ),
  },
  'bulge-place': {
    what: say('Where on the panel it stands out most.'),
    how: say('Sought on a fine grid within the outline, then refined.'),
    source: sources.spline,
    off: say('As exact as the readings lie close together.'),
  },
  'bulge-slope': {
    what: say('How steeply the surface leans, where it does most.'),
    how: say('The slope of the same surface against the plane of the edges.'),
    source: sources.spline,
    off: say('The ± is two standard deviations.'),
  },
  'bulge-radius': {
    what: say('How tight the curve is at the farthest place.'),
    how: say('The radius of the circle that follows the surface there.'),
    source: sources.spline,
    off: say('Told only where the readings tell it from flat.'),
  },
  'bulge-line': {
    what: say('A straight line over the panel, beside the same along the bulge.'),
    how: say(
      'Rise over the chord through the farthest place, and how much longer the way along the surface is: that much has the panel grown.',
    ),
    source: sources.spline,
    off: say('The ± is two standard deviations.'),
  },
  'bulge-readings': {
    what: say('How many readings there are, and how far they scatter.'),
    how: say(
      'What was said of the instrument; where the readings themselves scatter more, that counts instead.',
    ),
    source: sources.lsq,
    off: say('More readings near the middle make the rise surer.'),
  },
  'bulge-change': {
    what: say('What moved since the last time.'),
    how: say(
      'The two surfaces, one less the other; said only where it is more than the noise of both together.',
    ),
    source: sources.spline,
    off: say('The ± is two standard deviations of both. Read from the same places each time.'),
  },
} as const satisfies Readonly<Record<string, Explanation>>;
