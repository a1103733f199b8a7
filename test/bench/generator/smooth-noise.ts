/** Smooth value noise on a square lattice, standard deviation about 1. Coordinates in mm. */
import type { RandomStream } from './random-stream.js';

const { floor, sqrt } = Math;

const LATTICE = 256; // repeats every 256 cells

export class SmoothNoise {
  readonly #values = new Float32Array(LATTICE * LATTICE);
  readonly #perCell: number;
  readonly #offset: number;

  /** @param cellMm distance between lattice points: features are about this long. */
  constructor(random: RandomStream, cellMm: number) {
    // Uniform lattice values, bilinear smoothing loses about 40 % of their spread.
    const scale = sqrt(12) / 0.6;
    for (let i = 0; i < this.#values.length; i++) this.#values[i] = (random.unit() - 0.5) * scale;
    this.#perCell = 1 / cellMm;
    this.#offset = random.between(1, LATTICE);
  }

  at(xMm: number, yMm: number): number {
    const x = xMm * this.#perCell + this.#offset;
    const y = yMm * this.#perCell + this.#offset;
    const xi = floor(x);
    const yi = floor(y);
    let fx = x - xi;
    let fy = y - yi;
    fx = fx * fx * (3 - 2 * fx);
    fy = fy * fy * (3 - 2 * fy);
    const x0 = xi & (LATTICE - 1);
    const x1 = (xi + 1) & (LATTICE - 1);
    const row0 = (yi & (LATTICE - 1)) * LATTICE;
    const row1 = ((yi + 1) & (LATTICE - 1)) * LATTICE;
    const v = this.#values;
    const top = v[row0 + x0]! + (v[row0 + x1]! - v[row0 + x0]!) * fx;
    const bottom = v[row1 + x0]! + (v[row1 + x1]! - v[row1 + x0]!) * fx;
    return top + (bottom - top) * fy;
  }
}
