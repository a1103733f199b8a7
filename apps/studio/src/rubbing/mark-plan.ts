/** Which marks are tapped for each way of giving a rubbing its scale, and what must be typed. */
import type { Control } from '../platform/api/rubbings.js';
import { readNumber } from '../platform/NumberField.js';

export const scaleWays = ['known-places', 'sides-and-diagonals', 'two-diagonals', 'ruler'] as const;
export type ScaleWay = (typeof scaleWays)[number];

export const scaleWayWords: Readonly<Record<ScaleWay, string>> = {
  'known-places': 'crosses at known places',
  'sides-and-diagonals': 'sides and diagonals',
  'two-diagonals': 'two diagonals',
  ruler: 'a ruler on the sheet',
};

export const scaleWayHints: Readonly<Record<ScaleWay, string>> = {
  'known-places':
    'Four or more crosses on the sheet whose places on the panel were measured: from the left outer edge, and from the top. Places outside the panel are negative.',
  'sides-and-diagonals':
    'Four marks, clockwise from the top left; the six distances between them as a tape gives them. Right for a photograph taken at a slant.',
  'two-diagonals':
    'Four marks, clockwise from the top left; only both diagonals were measured. Good enough for a photograph taken nearly square-on.',
  ruler:
    'Both ends of a ruler that lies on the sheet. Only for a scan or a copy camera, square-on.',
};

export const tapNames = (way: ScaleWay, known: number): readonly string[] =>
  way === 'ruler'
    ? ['from', 'to']
    : way === 'known-places'
      ? Array.from({ length: Math.max(4, known) }, (_, index) => String.fromCharCode(65 + index))
      : ['A', 'B', 'C', 'D'];

export const distanceNames: Readonly<Record<ScaleWay, readonly string[]>> = {
  'known-places': [],
  'sides-and-diagonals': ['AB', 'BC', 'CD', 'DA', 'AC', 'BD'],
  'two-diagonals': ['AC', 'BD'],
  ruler: ['length'],
};

/** What was typed → the control of an extraction; the first thing that is missing when it is not whole. */
export function readControl(
  way: ScaleWay,
  names: readonly string[],
  places: Readonly<Record<string, readonly [string, string]>>,
  distances: Readonly<Record<string, string>>,
): { control: Control } | { missing: string } {
  if (way === 'known-places') {
    const points: { name: string; mm: [number, number] }[] = [];
    for (const name of names) {
      const [x, y] = (places[name] ?? ['', '']).map(readNumber);
      if (x === undefined || y === undefined) return { missing: `the place of mark ${name}` };
      points.push({ name, mm: [x, y] });
    }
    return { control: { kind: 'control_points', points } };
  }
  const read = new Map<string, number>();
  for (const name of distanceNames[way]) {
    const value = readNumber(distances[name] ?? '');
    if (value === undefined || value <= 0)
      return { missing: way === 'ruler' ? 'the length of the ruler' : `the distance ${name}` };
    read.set(name, value);
  }
  const mm = (name: string) => read.get(name) ?? 0;
  if (way === 'ruler') return { control: { kind: 'scale_bar', length_mm: mm('length') } };
  if (way === 'two-diagonals')
    return { control: { kind: 'diagonals', AC_mm: mm('AC'), BD_mm: mm('BD') } };
  return {
    control: {
      kind: 'sides_diagonals',
      AB_mm: mm('AB'),
      BC_mm: mm('BC'),
      CD_mm: mm('CD'),
      DA_mm: mm('DA'),
      AC_mm: mm('AC'),
      BD_mm: mm('BD'),
    },
  };
}
