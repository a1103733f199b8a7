import type { XyMm } from '#libs/net';

/** Points of the plane by square cells, so that those near a place are found without looking at all. */
export class PointBins {
  readonly #cellMm: number;
  readonly #cells = new Map<string, XyMm[]>();

  /** @param cellMm about as far as is looked */
  constructor(cellMm: number) {
    this.#cellMm = cellMm;
  }

  add(point: XyMm): void {
    const key = this.#cellOf(point).join();
    const cell = this.#cells.get(key);
    if (cell === undefined) this.#cells.set(key, [point]);
    else cell.push(point);
  }

  /** Distances of all points nearer than `withinMm`, cell after cell, in each as they were added. */
  distancesMm([x, y]: XyMm, withinMm: number): number[] {
    const [left, top] = this.#cellOf([x - withinMm, y - withinMm]);
    const [right, bottom] = this.#cellOf([x + withinMm, y + withinMm]);
    const found: number[] = [];
    for (let column = left; column <= right; column++) {
      for (let row = top; row <= bottom; row++) {
        for (const point of this.#cells.get(`${column},${row}`) ?? []) {
          const distance = Math.hypot(point[0] - x, point[1] - y);
          if (distance < withinMm) found.push(distance);
        }
      }
    }
    return found;
  }

  #cellOf([x, y]: XyMm): [column: number, row: number] {
    return [Math.floor(x / this.#cellMm), Math.floor(y / this.#cellMm)];
  }
}
