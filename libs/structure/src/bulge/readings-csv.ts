/** Readings as a table of text: what a total station or a spreadsheet writes. */
import { refuseReadings as refuse } from './refuse-readings.js';

export type ReadingsUnit = 'mm' | 'cm' | 'm' | 'in';

const UNIT_MM: Readonly<Record<ReadingsUnit, number>> = { mm: 1, cm: 10, m: 1000, in: 25.4 };

export interface ReadPoint {
  readonly name: string | null;
  readonly xyzMm: readonly [number, number, number];
}

const ROWS_MAX = 20_000;

/**
 * One point a line: `x, y, z`, or a name before them. Fields are parted by semicolon, tab, comma or
 * blanks; a comma is a decimal comma where fields are parted by something else. Lines that begin with
 * `#` and one line of headings are passed over.
 *
 * @throws StructureError `bad-readings` naming the line
 */
export function readPoints(text: string, unit: ReadingsUnit): ReadPoint[] {
  const lines = text.replace(/^\uFEFF/, '').split(/\r\n|\r|\n/);
  const filled = lines
    .map((line, i) => ({ line: line.trim(), number: i + 1 }))
    .filter(({ line }) => line !== '' && !line.startsWith('#'));
  if (filled.length > ROWS_MAX) refuse(`give at most ${ROWS_MAX} lines`);
  const points: ReadPoint[] = [];
  for (const [i, { line, number }] of filled.entries()) {
    const fields = fieldsOf(line);
    const numbers = fields.slice(-3).map(numberOf);
    if (fields.length === 3 || fields.length === 4) {
      const [x, y, z] = numbers;
      if (x !== undefined && y !== undefined && z !== undefined) {
        const mm = UNIT_MM[unit];
        points.push({
          name: fields.length === 4 ? fields[0]! : null,
          xyzMm: [x * mm, y * mm, z * mm],
        });
        continue;
      }
    }
    const isHeading = i === 0 && numbers.every((value) => value === undefined);
    if (!isHeading) {
      refuse(
        `line ${number}: ${JSON.stringify(line.slice(0, 60))} is not x, y, z with or without a name before them`,
      );
    }
  }
  if (points.length === 0) refuse('there is no line with x, y, z');
  return points;
}

function fieldsOf(line: string): string[] {
  const parts = [';', '\t'].find((mark) => line.includes(mark));
  const split =
    parts !== undefined
      ? line.split(parts).map((field) => field.trim().replace(',', '.'))
      : line.includes(',')
        ? line.split(',').map((field) => field.trim())
        : line.split(/\s+/);
  return split.map((field) => field.replace(/^"(.*)"$/, '$1'));
}

function numberOf(text: string): number | undefined {
  return /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(text) ? Number(text) : undefined;
}
