/** A sheet with what already lies on it, band by band. */
import type { XyMm } from '#libs/net';
import type { Spans } from './bands.js';

/** Two pieces may touch; less than this is rounding. */
const TOUCH_MM = 1e-6;

export interface Place {
  readonly xMm: number;
  readonly band: number;
}

export class OpenSheet {
  readonly #taken: number[][];

  constructor(
    readonly widthMm: number,
    readonly heightMm: number,
    readonly bandMm: number,
  ) {
    const bands = Math.ceil(heightMm / bandMm - TOUCH_MM) + 1;
    this.#taken = Array.from({ length: bands }, () => []);
  }

  /**
   * The place where the right edge of the piece comes to lie farthest to the left, of several the highest.
   *
   * @param spans of the piece, its left edge at 0
   * @param sizeMm width and height of the piece
   * @param beforeMm only places whose right edge lies left of this count
   */
  placeFor(spans: readonly Spans[], [pieceMm, tallMm]: XyMm, beforeMm: number): Place | undefined {
    let best: Place | undefined;
    let limit = Math.min(beforeMm, this.widthMm + 2 * TOUCH_MM);
    const last = Math.floor((this.heightMm - tallMm) / this.bandMm + TOUCH_MM);
    for (let band = 0; band <= last; band++) {
      const xMm = this.#leftmost(spans, band, limit - pieceMm - TOUCH_MM);
      if (xMm === undefined) continue;
      best = { xMm, band };
      limit = xMm + pieceMm;
    }
    return best;
  }

  put(spans: readonly Spans[], { xMm, band }: Place): void {
    for (const [i, list] of spans.entries()) {
      const taken = this.#taken[band + i]!;
      for (let k = 0; k < list.length; k += 2) {
        insert(taken, list[k]! + xMm, list[k + 1]! + xMm);
      }
    }
  }

  /** Right edge of all that lies on it. */
  get filledMm(): number {
    return Math.max(0, ...this.#taken.map((list) => list.at(-1) ?? 0));
  }

  /** What is taken, band by band. */
  get taken(): readonly Spans[] {
    return this.#taken;
  }

  /** Walks right past whatever is in the way until nothing is, or until `beyond`. */
  #leftmost(spans: readonly Spans[], band: number, beyond: number): number | undefined {
    let x = 0;
    let free = 0;
    for (let i = 0; free < spans.length; i = (i + 1) % spans.length) {
      if (x > beyond) return undefined;
      const pushed = pastTaken(spans[i]!, this.#taken[band + i]!, x);
      free = pushed > x ? 1 : free + 1;
      x = pushed;
    }
    return x > beyond ? undefined : x;
  }
}

function pastTaken(spans: Spans, taken: Spans, from: number): number {
  let x = from;
  for (let k = 0; k < spans.length; k += 2) {
    for (let i = firstEndingAfter(taken, spans[k]! + x); i < taken.length; i += 2) {
      if (taken[i]! >= spans[k + 1]! + x - TOUCH_MM) break;
      if (taken[i + 1]! <= spans[k]! + x + TOUCH_MM) continue;
      x = taken[i + 1]! - spans[k]!;
    }
  }
  return x;
}

function firstEndingAfter(taken: Spans, x: number): number {
  let low = 0;
  let high = taken.length / 2;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (taken[2 * middle + 1]! <= x) low = middle + 1;
    else high = middle;
  }
  return 2 * low;
}

function insert(taken: number[], from: number, to: number): void {
  let i = firstEndingAfter(taken, from);
  if (i > 0 && taken[i - 1]! >= from - TOUCH_MM) i -= 2;
  let end = i;
  let [low, high] = [from, to];
  while (end < taken.length && taken[end]! <= to + TOUCH_MM) {
    low = Math.min(low, taken[end]!);
    high = Math.max(high, taken[end + 1]!);
    end += 2;
  }
  taken.splice(i, end - i, low, high);
}
