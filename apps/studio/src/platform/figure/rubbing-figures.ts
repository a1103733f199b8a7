/** Numbers of how a picture came to millimetres. */
import { say } from '../language/say.js';
import type { Explanation } from './explanation.js';
import { sources } from './sources.js';

export const rubbingFigures = {
  'flatten-agreement': {
    what: say('How well the marks of the picture fit their places on the sheet.'),
    how: say(
      'The picture is made flat so that all marks, lengths and the lens fit best together; the figure is what is left over at the worst mark, and in the mean.',
    ),
    source: sources.lsq,
    off: say('Without a spare measurement everything fits: that is no sign of being right.'),
  },
  'mark-residual': {
    what: say('How far this mark lies from where the others put it.'),
    how: say(
      'The distance on the sheet between its place and where the flattened picture shows it.',
    ),
    source: sources.lsq,
    off: say('One that stands out was tapped or measured wrongly, or the paper moved.'),
  },
  'scale-sure': {
    what: say('How sure millimetres are millimetres.'),
    how: say(
      'From how exactly the marks were measured and tapped, carried through the fit to the length that is named.',
    ),
    source: sources.lsq,
    off: say(
      'It knows nothing of paper that shrank after the rubbing: measure panel and diagonals as a check.',
    ),
  },
  'overall-check': {
    what: say('Size and diagonals of the drawing beside those of the panel.'),
    how: say('Drawn less measured. The tape takes no part in the scale, so it is a check of it.'),
    source: sources.lsq,
    off: say(
      'Differs where it is more than two standard deviations of tape (0.5 mm) and scale together.',
    ),
  },
  placement: {
    what: say('How well the photograph lies on the drawing.'),
    how: say(
      'Matching places are brought together as well as a plane seen in perspective can be; the figure is the distance that is left, on the panel.',
    ),
    source: sources.lsq,
    off: say(
      'Four places always fit; from the fifth on the figure means something. A bulged panel is no plane.',
    ),
  },
  overlap: {
    what: say('How much of the traced piece lies in the piece of the drawing.'),
    how: say('The area that both cover over the area that was traced.'),
    source: sources.plane,
    off: say('A tracing by eye is off by millimetres; near a lead look yourself.'),
  },
  'cartoon-size': {
    what: say('The size of the drawing in the file.'),
    how: say('The box round all its lines × the size of one unit of the file.'),
    source: sources.plane,
    off: say('Files often say the wrong unit: hold it against the panel.'),
  },
  'lens-fit': {
    what: say('How the lens bends straight lines, and how sure that is.'),
    how: say(
      'Found together with the place of every tag of the target sheet; k1 and k2 are the radial terms, px what is left over at the tags.',
    ),
    source: sources.lsq,
    off: say('The ± is one standard deviation. It holds for this camera at this focal length.'),
  },
  'picture-look': {
    what: say('Sharpness, px to the millimetre and lean, as the phone judges them.'),
    how: say(
      'Sharpness: width of the clearest edges. Scale and lean: from the tags of our target sheet in the picture. Burnt out: pixels at the end of the scale.',
    ),
    source: sources.own,
    off: say('Where the lamp stood the picture does not tell; that is asked.'),
  },
} as const satisfies Readonly<Record<string, Explanation>>;
