/** Where the ways of reckoning come from, each said once. */
import { say } from '../language/say.js';

export const sources = {
  tape: say('Measured on the thing itself by a person; who and when stands in the ledger.'),
  plane: say('Plane geometry; it needs no source.'),
  practice: say('Common practice, no source.'),
  own: say('Our own rule; it is written here in full.'),
  glass: say('Density of soda-lime glass 2.5 g/cm³: EN 572-1, from memory.'),
  lead: say(
    'Density of lead from handbooks, from memory; where no profile was gauged the section is common practice, no source.',
  ),
  lsq: say('Least squares, as in any textbook of surveying.'),
  spline: say(
    'Smoothing splines by restricted maximum likelihood; checked against another library’s thin plate (npm run conformance).',
  ),
  beam: say(
    'Beam theory (equation of three moments), wind pressure after EN 1991-1-4, from memory. The whole sheet of formulas stands under the table.',
  ),
  en16096: say('Classes and urgencies 0 to 3 are those of EN 16096; the order is our own rule.'),
  net: say('A network trained on generated rubbings; see “How was this found?”.'),
} as const;
