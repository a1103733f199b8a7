import type { XyMm } from '../net.js';

/** Places that are the same within a distance, found through a grid of that size. */
export class Places {
  readonly xy: XyMm[] = [];
  readonly #cells = new Map<string, number[]>();

  constructor(readonly sameMm: number) {}

  /** Index of the nearest known place within the distance, or of this one as a new place. */
  index(place: XyMm): number {
    let best = -1;
    let least = this.sameMm;
    const cx = Math.floor(place[0] / this.sameMm);
    const cy = Math.floor(place[1] / this.sameMm);
    for (let x = cx - 1; x <= cx + 1; x++) {
      for (let y = cy - 1; y <= cy + 1; y++) {
        for (const i of this.#cells.get(`${x},${y}`) ?? []) {
          const off = Math.hypot(this.xy[i]![0] - place[0], this.xy[i]![1] - place[1]);
          if (off <= least) {
            least = off;
            best = i;
          }
        }
      }
    }
    if (best >= 0) return best;
    const key = `${cx},${cy}`;
    const cell = this.#cells.get(key);
    if (cell === undefined) this.#cells.set(key, [this.xy.length]);
    else cell.push(this.xy.length);
    return this.xy.push(place) - 1;
  }
}
