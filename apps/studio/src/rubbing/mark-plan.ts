/** The ways in which the picture of a rubbing gets its scale, as a bench has them. */
import { say } from '../platform/language/say.js';

export const scaleWays = [
  'sides-and-diagonals',
  'any-lengths',
  'known-places',
  'target-sheet',
  'flat-scan',
  'ruler',
  'two-diagonals',
] as const;
export type ScaleWay = (typeof scaleWays)[number];

export const scaleWayWords: Readonly<Record<ScaleWay, string>> = {
  'sides-and-diagonals': say('sides and diagonals by tape'),
  'any-lengths': say('any marks, lengths between them'),
  'known-places': say('crosses at known places'),
  'target-sheet': say('our printed target sheet'),
  'flat-scan': say('a flat scan'),
  ruler: say('a ruler on the sheet'),
  'two-diagonals': say('only two diagonals'),
};

export const scaleWayHints: Readonly<Record<ScaleWay, string>> = {
  'sides-and-diagonals': say(
    'Four marks, clockwise from the top left, and the six lengths between them by tape, to half a millimetre. Right for a photograph taken at a slant. One length is to spare: it tells whether the others agree.',
  ),
  'any-lengths': say(
    'Four or more marks anywhere on the sheet, and lengths by tape between any two of them: five at least. Every further length is a check on the others, and every further mark helps to undo the bend of the lens.',
  ),
  'known-places': say(
    'Four or more crosses whose places on the panel were measured: from the left outer edge, and from the top. Places outside the panel are negative.',
  ),
  'target-sheet': say(
    'Its strips lay on the paper of the rubbing, one along each side of the panel, when it was photographed. Nothing is tapped: the squares on the strips are found in the picture, and tell the bend of the lens as well.',
  ),
  'flat-scan': say(
    'The sheet lay flat on a scanner. Its resolution gives the scale; nothing is tapped. Check one long length on the print all the same.',
  ),
  ruler: say(
    'Both ends of a ruler that lies on the sheet. Only for a scan or a copy camera, square-on: a slant cannot be seen from one length.',
  ),
  'two-diagonals': say(
    'Four marks, clockwise from the top left; only both diagonals were measured. Good enough for a photograph taken nearly square-on. Nothing is to spare.',
  ),
};

export const mostMarks = 24;

/** Names of marks: A to Z, as a person writes them on the paper. */
export const markName = (index: number): string => String.fromCharCode(65 + index);

/** The marks that a way starts with, in the order in which they are tapped. */
export function firstMarks(way: ScaleWay): readonly string[] {
  if (way === 'target-sheet' || way === 'flat-scan') return [];
  return way === 'ruler' ? ['from', 'to'] : ['A', 'B', 'C', 'D'];
}

/** Whether a person may add marks to those it starts with. */
export const takesMoreMarks = (way: ScaleWay): boolean =>
  way === 'known-places' || way === 'any-lengths';

export interface Length {
  readonly from: string;
  readonly to: string;
  /** as typed */
  readonly mm: string;
}

const between = (pairs: readonly string[]): readonly Length[] =>
  pairs.map((pair) => ({ from: pair[0]!, to: pair[1]!, mm: '' }));

/** The lengths that a way asks for at first. */
export function firstLengths(way: ScaleWay): readonly Length[] {
  if (way === 'sides-and-diagonals' || way === 'any-lengths')
    return between(['AB', 'BC', 'CD', 'DA', 'AC', 'BD']);
  if (way === 'two-diagonals') return between(['AC', 'BD']);
  return way === 'ruler' ? [{ from: 'from', to: 'to', mm: '' }] : [];
}

/**
 * A photograph of a plane is made straight and true by five lengths at least (a projective map has
 * eight freedoms, and three of them only place the sheet on the table); what is more is to spare.
 * Source: Hartley and Zisserman, Multiple View Geometry, 2nd ed. 2004, 2.7 (from memory).
 */
export const neededLengths = 5;
