/** Numbers of a lead drawing. */
import { say } from '../language/say.js';
import type { Explanation } from './explanation.js';
import { sources } from './sources.js';

export const drawingFigures = {
  'panel-size': {
    what: say('Width and height of the panel over its outer leads.'),
    how: say(
      'Taken with a tape; the word behind it says whether it was measured, computed or estimated.',
    ),
    source: sources.tape,
    off: say('A tape is read to half a millimetre or so; an old panel is seldom square.'),
  },
  'tight-size': {
    what: say('Width and height of the opening to the back of the groove.'),
    how: say('Taken with a tape at the opening. A rebuilt panel must be smaller than this.'),
    source: sources.tape,
    off: say('Grooves are uneven: measure at three heights, and use the least.'),
  },
  'opening-size': {
    what: say('Width and height of the opening as it is drawn here.'),
    how: say('The size that was typed when the window was drawn; nothing is computed.'),
    source: sources.tape,
    off: say('As good as the tape or the old plan that it came from.'),
  },
  'lead-length': {
    what: say('The lead of this drawing, end to end.'),
    how: say(
      'Lengths along the centre lines of the leads, added up from joint to joint. Nothing is added for joints or waste.',
    ),
    source: sources.plane,
    off: say('As sure as the drawing’s scale; a lead that was missed is missing here too.'),
  },
  'glass-area': {
    what: say('The glass of the panel, out to the middle of the leads.'),
    how: say(
      'Areas of all pieces within the centre lines of their leads, added up. Glass that is seen is less, glass as cut a little less.',
    ),
    source: sources.plane,
    off: say('Twice as sensitive to the scale as a length: 0.5 % of scale is 1 % of area.'),
  },
  'piece-cut': {
    what: say('The box round the piece as it is cut, into the heart of its leads.'),
    how: say(
      'Centre lines of the leads, moved inwards by half the heart and the air beside it; gauged profiles by their own heart.',
    ),
    source: sources.practice,
    off: say(
      'The ± is the mean error of the marks, rounded up to half a millimetre. Hold it against the panel before you cut.',
    ),
  },
  'piece-area': {
    what: say('The area of the piece, out to the middle of its leads.'),
    how: say(
      'Half the sum of cross products round its outline; what lies inside it and is not glass is taken off.',
    ),
    source: sources.plane,
    off: say('Twice as sensitive to the scale as a length.'),
  },
  'piece-sight': {
    what: say('The glass that is seen between the leads. Findings are given in per cent of this.'),
    how: say('The piece without the faces of its leads; straps on one face take nothing away.'),
    source: sources.plane,
    off: say('Depends on the widths of the leads, which wax shows to some tenths of a millimetre.'),
  },
  'lead-width': {
    what: say('How wide the face of the lead is.'),
    how: say('The distance between the two edges of the wax, in many places along the lead.'),
    source: sources.own,
    off: say('Wax spreads: a lead looks some tenths wider than a gauge says.'),
  },
  confidence: {
    what: say('How sure the reading is that the lead is there, as drawn.'),
    how: say(
      'From how strongly the wax shows it, the longest gap, the sharpness of its edges, its length and how crooked it runs.',
    ),
    source: sources.net,
    off: say('A likelihood, no measurement. The panel decides.'),
  },
  doubts: {
    what: say('Places where a person should look before the drawing is signed.'),
    how: say(
      'Leads below the bar of confidence, gaps that were bridged, and places where a lead may be missing, counted.',
    ),
    source: sources.own,
    off: say('A lower bound: what the wax does not show cannot be doubted.'),
  },
} as const satisfies Readonly<Record<string, Explanation>>;
