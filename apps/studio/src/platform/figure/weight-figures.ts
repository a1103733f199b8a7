/** Weights. */
import { say } from '../language/say.js';
import type { Explanation } from './explanation.js';
import { sources } from './sources.js';

export const weightFigures = {
  'weight-total': {
    what: say('What the panel weighs: lift by this.'),
    how: say(
      'On a scale where somebody weighed it; else the net sum of glass, lead, solder, cement and bars; without a drawing its area times what panels usually weigh.',
    ),
    source: sources.practice,
    off: say(
      'Computed it may be off by a tenth, more where glass was not gauged. Lift by the upper bound.',
    ),
  },
  'weight-glass': {
    what: say('The glass alone.'),
    how: say(
      'Area as cut × thickness × density, piece by piece; a piece that was weighed counts as weighed, without a gauge 3 mm is taken.',
    ),
    source: sources.glass,
    off: say('Old glass varies from 2 to 5 mm: gauge it, and this gets sure.'),
  },
  'weight-lead': {
    what: say('The lead alone.'),
    how: say(
      'Section × length along the centre lines × density; gauged profiles by their own section.',
    ),
    source: sources.lead,
    off: say('Without a gauged profile off by a third or so.'),
  },
  'weight-solder': {
    what: say('Solder on the joints.'),
    how: say('A usual amount for each joint and its leads, × the factor that was given.'),
    source: sources.practice,
    off: say('A guess; it is the smallest part.'),
  },
  'weight-cement': {
    what: say('Cement under the leads.'),
    how: say(
      'The per cent that was given below, of glass, lead and solder; none where none was given.',
    ),
    source: sources.practice,
    off: say('As good as the per cent that was given.'),
  },
  'weight-bars': {
    what: say('Bars that are lifted with the panel.'),
    how: say('Added up as they were entered.'),
    source: sources.tape,
    off: say('As good as what was entered.'),
  },
  'weight-net': {
    what: say('All of it together, nothing counted twice.'),
    how: say(
      'Glass + lead + solder + cement + bars; glass is cut to the hearts, so what they displace is not in it.',
    ),
    source: sources.own,
    off: say('The middle of what it may be.'),
  },
  'weight-gross': {
    what: say('The most that it should weigh.'),
    how: say(
      'Glass over the whole panel, with nothing taken off for lead, the lead on top, and 5 % for cement and solder; then the bars.',
    ),
    source: sources.practice,
    off: say('On the safe side as long as the glass is no thicker than was said.'),
  },
  'weight-centre': {
    what: say('Where it balances.'),
    how: say(
      'The mean of the middles of pieces and leads, each by its weight; without solder and bars.',
    ),
    source: sources.plane,
    off: say('Some millimetres; a plated corner that nobody entered moves it.'),
  },
  'weight-measured': {
    what: say('How much of the sum stands on a gauge or a scale.'),
    how: say(
      'Glass: its share by weight that was gauged or weighed. Lead: the share of its length whose profile was gauged.',
    ),
    source: sources.own,
    off: say('The more, the surer the weight.'),
  },
  'weight-area': {
    what: say('What a panel of this size may weigh.'),
    how: say(
      'Its area × what drawn panels of this window weigh; where there are none, × what panels usually weigh to the square metre.',
    ),
    source: sources.practice,
    off: say('The two ends are as far as panels usually differ. Prepare for the upper one.'),
  },
  'gauge-difference': {
    what: say('How much wider the lead is at a cut end than the rubbing shows it.'),
    how: say('The gauge’s face width less the width class of the lead drawing.'),
    source: sources.tape,
    off: say('A rubbing is some tenths off, a gauge on dented lead as well. Gauge a clean end.'),
  },
  thickness: {
    what: say('How thick a glass is that is not the same everywhere.'),
    how: say(
      'A thin plate is laid through the readings, and its mean over the piece is taken; with too few readings, or in one line, their plain mean.',
    ),
    source: sources.spline,
    off: say('Between readings it is a guess: gauge where the glass is thickest and thinnest.'),
  },
  'heat-growth': {
    what: say('How much lead and glass grow when the sun warms them.'),
    how: say(
      'Length × warming × the expansion of each; the difference is what the lead has to give way.',
    ),
    source: sources.lead,
    off: say('The warming is an example; black leads in the sun get warmer.'),
  },
  'crate-load': {
    what: say('What the crate weighs with all that lies in it.'),
    how: say('The empty crate and every panel: weighed, else from its drawing, else by its area.'),
    source: sources.practice,
    off: say('Where it names what nobody weighed it is a lower bound: lift as if it were heavier.'),
  },
} as const satisfies Readonly<Record<string, Explanation>>;
