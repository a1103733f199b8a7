/** What the readers of files hand to the one that makes a sketch of it. */
import type { LeadKind, XyMm } from '../net.js';
import { CartoonError, type CartoonFormat } from './cartoon.js';

/** One line of the file in millimetres, x right, y down; curves are chords within {@link CHORD_MM}. */
export interface RawLine {
  readonly pointsMm: readonly XyMm[];
  /** The last point joins the first, which is not repeated. */
  readonly isClosed: boolean;
  readonly layer: string;
  readonly kind: LeadKind | null;
  readonly faceWidthMm: number | null;
}

export interface RawDrawing {
  readonly format: CartoonFormat;
  readonly unitMm: number;
  readonly unitFrom: string;
  /** True when nothing states the unit and millimetres were taken. */
  readonly isUnitAssumed: boolean;
  /** Written by this program in the panel's frame: nothing is moved. */
  readonly keepsFrame: boolean;
  readonly lines: readonly RawLine[];
  /** What is no line, and how many: '3 texts'. */
  readonly leftOut: readonly string[];
}

/** How far a chord may leave the curve that it stands for. */
export const CHORD_MM = 0.05;
/** Chords turn no more than this, so that a corner can be told from a bend. */
export const CHORD_TURN_RAD = Math.PI / 12;

/** A drawing of this size is no cartoon of one panel; it would only keep the program busy. */
const POINTS_MAX = 400_000;

/** Gathers lines and refuses a file that has too many points. */
export class LineBox {
  readonly lines: RawLine[] = [];
  #points = 0;

  /** @throws {CartoonError} `too-large` */
  put(line: RawLine): void {
    const points = line.pointsMm.filter(
      (point, i) =>
        i === 0 || point[0] !== line.pointsMm[i - 1]![0] || point[1] !== line.pointsMm[i - 1]![1],
    );
    if (points.some(([x, y]) => !Number.isFinite(x) || !Number.isFinite(y))) {
      throw new CartoonError(
        'not-well-formed',
        `A line of the layer ${line.layer} has a coordinate that is no number. Save the file again from the program that drew it.`,
      );
    }
    const first = points[0];
    const last = points[points.length - 1];
    const repeats =
      points.length > 2 && first !== undefined && first[0] === last![0] && first[1] === last![1];
    if (repeats) points.pop();
    if (points.length < 2) return;
    this.#points += points.length;
    if (this.#points > POINTS_MAX) {
      throw new CartoonError(
        'too-large',
        `The drawing has more than ${POINTS_MAX} points: that is no cartoon of one panel. Save only the layer of the leads, or one panel at a time.`,
      );
    }
    this.lines.push({ ...line, pointsMm: points, isClosed: line.isClosed || repeats });
  }
}

/** A layer's name or a class in trade terms tells what its lines are; null when it does not. */
export function kindOfName(name: string): LeadKind | null {
  const words = ` ${name.toLowerCase().replace(/[^a-z]+/g, ' ')} `;
  if (/ mending /.test(words)) return 'mending';
  if (/ strap /.test(words)) return 'strap';
  if (/ foil /.test(words)) return 'foil';
  if (/ broken /.test(words)) return 'broken';
  if (/ outer /.test(words)) return 'outer';
  return / (came|cames|lead|leads) /.test(words) ? 'came' : null;
}

/** Told, how many: '3 texts'. */
export function countOf(counts: ReadonlyMap<string, number>): string[] {
  return [...counts].map(([what, n]) => `${n} ${what}${n === 1 ? '' : 's'}`);
}
