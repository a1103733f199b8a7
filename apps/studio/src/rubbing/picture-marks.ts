/** What a person tapped and typed about one picture of a rubbing, and what the extraction is asked. */
import type { Xy } from '../drawing/plane.js';
import type { Control, PictureAsked } from '../platform/api/rubbings.js';
import { say } from '../platform/language/say.js';
import { readNumber } from '../platform/NumberField.js';
import {
  firstLengths,
  firstMarks,
  type Length,
  markName,
  mostMarks,
  neededLengths,
  type ScaleWay,
} from './mark-plan.js';

export interface PictureMarks {
  readonly way: ScaleWay | null;
  readonly names: readonly string[];
  /** px of the upright picture */
  readonly taps: Readonly<Record<string, Xy>>;
  /** mm in the panel's frame, as typed */
  readonly places: Readonly<Record<string, readonly [string, string]>>;
  readonly lengths: readonly Length[];
  /** of a flat scan, as typed; empty: as the file says */
  readonly dpi: string;
  /** ruler of the target sheet as measured on the print, as typed; empty: it is true */
  readonly ruler: string;
}

export const noMarks: PictureMarks = {
  way: null,
  names: [],
  taps: {},
  places: {},
  lengths: [],
  dpi: '',
  ruler: '',
};

/** Another way keeps the taps and lengths of marks that it has too. */
export function withWay(marks: PictureMarks, way: ScaleWay): PictureMarks {
  const names = firstMarks(way);
  const typed = new Map(marks.lengths.map((length) => [pairOf(length), length.mm]));
  return {
    ...marks,
    way,
    names,
    taps: Object.fromEntries(Object.entries(marks.taps).filter(([name]) => names.includes(name))),
    lengths: firstLengths(way).map((length) => ({
      ...length,
      mm: typed.get(pairOf(length)) ?? '',
    })),
  };
}

/** The two marks of a length, whichever comes first. */
export const pairOf = ({ from, to }: Pick<Length, 'from' | 'to'>): string =>
  [from, to].sort().join(' ');

export function withMark(marks: PictureMarks): PictureMarks {
  if (marks.names.length >= mostMarks) return marks;
  const name = markName(marks.names.length);
  const neighbours = [marks.names.at(-1)!, marks.names[0]!];
  const added =
    marks.way === 'any-lengths'
      ? neighbours.map((neighbour) => ({ from: neighbour, to: name, mm: '' }))
      : [];
  return { ...marks, names: [...marks.names, name], lengths: [...marks.lengths, ...added] };
}

/** Takes the last mark away with everything about it. */
export function withoutLastMark(marks: PictureMarks): PictureMarks {
  const gone = marks.names.at(-1);
  const rest = <T>(record: Readonly<Record<string, T>>) =>
    Object.fromEntries(Object.entries(record).filter(([name]) => name !== gone));
  return {
    ...marks,
    names: marks.names.slice(0, -1),
    taps: rest(marks.taps),
    places: rest(marks.places),
    lengths: marks.lengths.filter(({ from, to }) => from !== gone && to !== gone),
  };
}

export const withLength = (marks: PictureMarks, at: number, change: Partial<Length>) => ({
  ...marks,
  lengths: marks.lengths.map((length, index) => (index === at ? { ...length, ...change } : length)),
});

/** The first two marks that have no length between them yet. */
export function openPair(marks: PictureMarks): readonly [string, string] | null {
  const known = new Set(marks.lengths.map(pairOf));
  for (const [index, from] of marks.names.entries())
    for (const to of marks.names.slice(index + 1))
      if (!known.has(pairOf({ from, to }))) return [from, to];
  return null;
}

/** Lengths beyond those that the scale needs; negative: so many are missing. */
export const spareLengths = (marks: PictureMarks): number =>
  typedLengths(marks).length - neededLengths;

function typedLengths({ lengths }: PictureMarks) {
  return lengths.flatMap(({ from, to, mm }) => {
    const value = readNumber(mm);
    return value !== undefined && value > 0 ? [{ from, to, mm: value }] : [];
  });
}

/** What the extraction is asked about this picture, or the first thing that is still missing. */
export function readMarks(
  mediaId: string,
  marks: PictureMarks,
): { asked: PictureAsked } | { missing: string } {
  if (marks.way === null) return { missing: say('where the scale comes from') };
  const open = marks.names.filter((name) => !marks.taps[name]);
  if (open.length > 0)
    return {
      missing: say('to tap: {open}', { open: open.map((name) => sayMark(name)).join(', ') }),
    };
  const control = readControl(marks, marks.way);
  if ('missing' in control) return control;
  return {
    asked: {
      mediaId,
      control: control.control,
      taps: marks.names.map((name) => [...marks.taps[name]!]),
    },
  };
}

/** 'mark A', but 'the end from' of a ruler reads as its first end. */
export const sayMark = (name: string): string =>
  name === 'from'
    ? say('the zero of the ruler')
    : name === 'to'
      ? say('its other end')
      : say('mark {name}', { name });

function readControl(
  marks: PictureMarks,
  way: ScaleWay,
): { control: Control } | { missing: string } {
  switch (way) {
    case 'target-sheet': {
      const ruler = readNumber(marks.ruler);
      if (marks.ruler.trim() !== '' && (ruler === undefined || ruler < 20))
        return { missing: say('the length of the ruler on the print') };
      return {
        control: { kind: 'target_sheet', ...(ruler === undefined ? {} : { ruler_mm: ruler }) },
      };
    }
    case 'flat-scan': {
      const dpi = readNumber(marks.dpi);
      if (marks.dpi.trim() !== '' && (dpi === undefined || dpi < 50 || dpi > 4800))
        return { missing: say('a resolution between 50 and 4800 dpi') };
      return { control: { kind: 'scanner', ...(dpi === undefined ? {} : { dpi }) } };
    }
    case 'known-places':
      return readPlaces(marks);
    case 'any-lengths': {
      const distances = typedLengths(marks);
      if (distances.length < neededLengths) {
        const more = neededLengths - distances.length;
        return {
          missing: say('{more} more {more, plural, one {length} other {lengths}}', { more }),
        };
      }
      return { control: { kind: 'distances', marks: [...marks.names], distances } };
    }
    default:
      return readNamedLengths(marks, way);
  }
}

function readPlaces({ names, places }: PictureMarks): { control: Control } | { missing: string } {
  const points: { name: string; mm: [number, number] }[] = [];
  for (const name of names) {
    const [x, y] = (places[name] ?? ['', '']).map(readNumber);
    if (x === undefined || y === undefined)
      return { missing: say('the place of mark {name}', { name }) };
    points.push({ name, mm: [x, y] });
  }
  return { control: { kind: 'control_points', points } };
}

function readNamedLengths(
  marks: PictureMarks,
  way: 'sides-and-diagonals' | 'two-diagonals' | 'ruler',
): { control: Control } | { missing: string } {
  const typed = new Map(typedLengths(marks).map((length) => [pairOf(length), length.mm]));
  const open = marks.lengths.find((length) => !typed.has(pairOf(length)));
  if (open)
    return {
      missing:
        way === 'ruler'
          ? say('the length of the ruler')
          : say('the length {from}{to}', { from: open.from, to: open.to }),
    };
  const mm = (from: string, to: string) => typed.get(pairOf({ from, to })) ?? 0;
  if (way === 'ruler') return { control: { kind: 'scale_bar', length_mm: mm('from', 'to') } };
  const diagonals = { AC_mm: mm('A', 'C'), BD_mm: mm('B', 'D') };
  if (way === 'two-diagonals') return { control: { kind: 'diagonals', ...diagonals } };
  return {
    control: {
      kind: 'sides_diagonals',
      AB_mm: mm('A', 'B'),
      BC_mm: mm('B', 'C'),
      CD_mm: mm('C', 'D'),
      DA_mm: mm('D', 'A'),
      ...diagonals,
    },
  };
}
