/** marks.json: how a rubbing's sheet is scaled, and where its marks lie in the picture. */

import { z } from 'zod';
import { markNames, type RubbingControl } from '#libs/rubbing';
import { readJson } from './read-json.js';
import { Refusal } from './refusal.js';

const lengthMm = z.number().positive();
const place = z.tuple([z.number(), z.number()]);

export const controlSchema = z.discriminatedUnion('kind', [
  z.object({
    kind: z.literal('control_points'),
    points: z.array(z.object({ name: z.string(), mm: place })).min(4),
  }),
  z.object({
    kind: z.literal('sides_diagonals'),
    AB_mm: lengthMm,
    BC_mm: lengthMm,
    CD_mm: lengthMm,
    DA_mm: lengthMm,
    AC_mm: lengthMm,
    BD_mm: lengthMm,
  }),
  z.object({ kind: z.literal('diagonals'), AC_mm: lengthMm, BD_mm: lengthMm }),
  z.object({
    kind: z.literal('distances'),
    marks: z.array(z.string()).min(4),
    distances: z.array(z.object({ from: z.string(), to: z.string(), mm: lengthMm })),
    toleranceMm: lengthMm.exactOptional(),
  }),
  z.object({ kind: z.literal('scale_bar'), length_mm: lengthMm }),
  z.object({
    kind: z.literal('target_sheet'),
    sheet: z.string().exactOptional(),
    ruler_mm: lengthMm.exactOptional(),
  }),
  z.object({ kind: z.literal('scanner'), dpi: z.number().positive().exactOptional() }),
]);

const marksSchema = z.object({ control: controlSchema, taps: z.array(place) });

export interface Marks {
  control: RubbingControl;
  /** Pixels of the upright picture, in the order of the marks. */
  taps: [number, number][];
}

/** @throws Refusal that names the field that is wrong */
export async function readMarks(path: string): Promise<Marks> {
  const read = marksSchema.safeParse(await readJson(path));
  if (!read.success) {
    const issue = read.error.issues[0]!;
    const field = issue.path.join('.') || 'the file';
    throw new Refusal(
      `${path}: ${field}: ${issue.message}. See "mullion rubbing --help" for the form of marks.json.`,
    );
  }
  const { control, taps } = read.data;
  const wanted = markNames(control).length;
  if (taps.length !== wanted) {
    throw new Refusal(
      `${path}: ${control.kind} needs ${wanted} taps, one for each mark in order; the file has ${taps.length}.`,
    );
  }
  return { control, taps };
}

export const MARKS_HELP = `marks.json
  { "control": CONTROL, "taps": [[x, y], ...] }
  taps are pixels of the upright picture (x right, y down, after its EXIF orientation), one for each
  mark, in order; 2 px of error do no harm, the marks are found again beneath them. CONTROL is one of
  { "kind": "control_points", "points": [{ "name": "A", "mm": [x, y] }, ...] }
      four or more crosses drawn on the sheet, places measured in panel millimetres
      (x right, y down, origin at the outer corner top left)
  { "kind": "sides_diagonals", "AB_mm": .., "BC_mm": .., "CD_mm": .., "DA_mm": .., "AC_mm": .., "BD_mm": .. }
      corner ticks A B C D clockwise from top left, all six distances measured with a tape
  { "kind": "diagonals", "AC_mm": .., "BD_mm": .. }
      the same ticks, only the diagonals measured; the picture nearly square-on
  { "kind": "distances", "marks": ["A", ..], "distances": [{ "from": "A", "to": "B", "mm": .. }, ..] }
      four or more crosses anywhere on the sheet and what the tape says between them
  { "kind": "scale_bar", "length_mm": .. }
      a ruler drawn on the sheet, tapped at both ends; a flat scan
  { "kind": "target_sheet" }
      strips of the printed target sheet lie round the panel; no taps
  { "kind": "scanner", "dpi": .. }
      a flat scan at a known resolution; no taps
`;
