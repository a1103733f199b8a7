/** A crack: a wandering line through glass, given as the height over its own straight axis. */
import type { RandomStream } from '../random-stream.js';

const STEP_MM = 0.1;
const REACH_MM = 400;
/** Wave lengths of the wandering and how far each goes, from the sweep of a crack down to its grain. */
const OCTAVES: readonly [number, number][] = [
  [90, 3.2],
  [34, 1.1],
  [13, 0.42],
  [5.5, 0.2],
  [2.4, 0.1],
  [1.1, 0.05],
  [0.5, 0.022],
];
/** From this octave on it is grain, which the roughness scales. */
const GRAIN_FROM = 2;

export class Crack {
  readonly #heights: Float32Array;
  readonly #x: number;
  readonly #y: number;
  readonly #cos: number;
  readonly #sin: number;

  /** @param roughness 1 for common glass; 0.3 is a smooth, curving crack */
  constructor(random: RandomStream, xMm: number, yMm: number, angleRad: number, roughness: number) {
    this.#x = xMm;
    this.#y = yMm;
    this.#cos = Math.cos(angleRad);
    this.#sin = Math.sin(angleRad);
    this.#heights = wander(random, roughness);
  }

  /** True on the left of the crack. */
  isLeft(x: number, y: number): boolean {
    const dx = x - this.#x;
    const dy = y - this.#y;
    return (
      this.#cos * dy - this.#sin * dx > heightAt(this.#heights, this.#cos * dx + this.#sin * dy)
    );
  }
}

/** Cracks that run outward from one blow. */
export class Star {
  readonly #x: number;
  readonly #y: number;
  readonly #angles: number[];
  readonly #heights: Float32Array[];

  constructor(random: RandomStream, xMm: number, yMm: number, rays: number, roughness: number) {
    this.#x = xMm;
    this.#y = yMm;
    const first = random.between(0, 2 * Math.PI);
    this.#angles = Array.from(
      { length: rays },
      (_, k) => first + ((k + random.between(-0.25, 0.25)) * 2 * Math.PI) / rays,
    ).map((a) => a % (2 * Math.PI));
    this.#angles.sort((a, b) => a - b);
    this.#heights = this.#angles.map(() => wander(random, roughness));
  }

  /** Which of the sectors a place lies in. */
  sector(x: number, y: number): number {
    const dx = x - this.#x;
    const dy = y - this.#y;
    const r = Math.hypot(dx, dy);
    const own = (Math.atan2(dy, dx) + 4 * Math.PI) % (2 * Math.PI);
    let count = 0;
    for (let k = 0; k < this.#angles.length; k++) {
      // all cracks meet at the blow
      const h = heightAt(this.#heights[k]!, r) - heightAt(this.#heights[k]!, 0);
      if (own > this.#angles[k]! + Math.max(-0.4, Math.min(0.4, h / Math.max(1, r)))) count++;
    }
    return count % this.#angles.length;
  }
}

function wander(random: RandomStream, roughness: number): Float32Array {
  const out = new Float32Array((2 * REACH_MM) / STEP_MM + 1);
  for (const [k, [wave, amplitude]] of OCTAVES.entries()) {
    const scale = amplitude * (k >= GRAIN_FROM ? roughness : 0.6 + 0.4 * roughness);
    const cells = Math.ceil((2 * REACH_MM) / (wave / 2)) + 3;
    const values = Float32Array.from({ length: cells }, () => random.normal() * scale);
    const shift = random.unit();
    for (let i = 0; i < out.length; i++) {
      const u = (i * STEP_MM) / (wave / 2) + shift;
      const j = Math.floor(u);
      const t = u - j;
      // the finest octaves have corners, as grain has
      const s = k >= 4 ? t : t * t * (3 - 2 * t);
      out[i]! += values[j]! + s * (values[j + 1]! - values[j]!);
    }
  }
  return out;
}

function heightAt(heights: Float32Array, along: number): number {
  const u = (along + REACH_MM) / STEP_MM;
  const i = Math.max(0, Math.min(heights.length - 2, Math.floor(u)));
  return heights[i]! + (u - i) * (heights[i + 1]! - heights[i]!);
}
