/** What is painted on the piece: dark strokes and a soft tone, as share of light let through. */
import type { RandomStream } from '../random-stream.js';
import { SmoothNoise } from '../smooth-noise.js';

const PX_PER_MM = 6;

export class PaintedFace {
  readonly #width: number;
  readonly #height: number;
  readonly #stroke: Float32Array;
  readonly #tone: SmoothNoise;
  readonly #toneDepth: number;

  constructor(random: RandomStream, widthMm: number, heightMm: number) {
    this.#width = Math.ceil(widthMm * PX_PER_MM) + 1;
    this.#height = Math.ceil(heightMm * PX_PER_MM) + 1;
    this.#stroke = new Float32Array(this.#width * this.#height).fill(1);
    this.#tone = new SmoothNoise(random, 30);
    this.#toneDepth = random.between(0.08, 0.2);
    const strokes = Math.round((widthMm * heightMm) / random.between(700, 1300));
    for (let k = 0; k < strokes; k++) this.#draw(random, widthMm, heightMm);
  }

  at(xMm: number, yMm: number): number {
    const u = Math.max(0, Math.min(this.#width - 1.001, xMm * PX_PER_MM));
    const v = Math.max(0, Math.min(this.#height - 1.001, yMm * PX_PER_MM));
    const i = Math.floor(u);
    const j = Math.floor(v);
    const [fu, fv] = [u - i, v - j];
    const s = this.#stroke;
    const k = j * this.#width + i;
    const top = s[k]! + fu * (s[k + 1]! - s[k]!);
    const bottom = s[k + this.#width]! + fu * (s[k + this.#width + 1]! - s[k + this.#width]!);
    const tone = Math.exp(-this.#toneDepth * Math.abs(this.#tone.at(xMm, yMm)));
    return (top + fv * (bottom - top)) * tone;
  }

  #draw(random: RandomStream, widthMm: number, heightMm: number): void {
    let x = random.between(0, widthMm);
    let y = random.between(0, heightMm);
    let angle = random.between(0, 2 * Math.PI);
    const bend = random.normal() * 0.02;
    const half = random.between(0.4, 1.5);
    const lets = random.between(0.05, 0.25);
    for (let steps = random.whole(40, 200); steps > 0; steps--) {
      this.#dab(x, y, half, lets);
      angle += bend + random.normal() * 0.02;
      x += 0.4 * Math.cos(angle);
      y += 0.4 * Math.sin(angle);
    }
  }

  #dab(x: number, y: number, half: number, lets: number): void {
    const reach = (half + 0.4) * PX_PER_MM;
    const [cx, cy] = [x * PX_PER_MM, y * PX_PER_MM];
    for (
      let v = Math.max(0, Math.ceil(cy - reach));
      v <= Math.min(this.#height - 1, cy + reach);
      v++
    ) {
      for (
        let u = Math.max(0, Math.ceil(cx - reach));
        u <= Math.min(this.#width - 1, cx + reach);
        u++
      ) {
        const d = Math.hypot(u - cx, v - cy) / PX_PER_MM - half;
        const cover = Math.max(0, Math.min(1, 0.5 - d / 0.3));
        const k = v * this.#width + u;
        this.#stroke[k] = Math.min(this.#stroke[k]!, 1 - cover * (1 - lets));
      }
    }
  }
}
