/** The outline of a piece before it broke: a quarry-like or curved shape, cut or ground all round. */

import type { Xy } from '../../score/score-math.js';
import type { RandomStream } from '../random-stream.js';

const STEP_MM = 0.5;

/** @param shape how many of its sides are bowed, and whether one of them is hollow */
export function pieceOutline(random: RandomStream, widthMm: number, heightMm: number): Xy[] {
  const jitter = (): number => random.between(-0.09, 0.09);
  const corners: Xy[] = [
    [widthMm * (0.02 + Math.abs(jitter())), heightMm * (0.02 + Math.abs(jitter()))],
    [widthMm * (0.98 - Math.abs(jitter())), heightMm * (0.02 + Math.abs(jitter()))],
    [widthMm * (0.98 - Math.abs(jitter())), heightMm * (0.98 - Math.abs(jitter()))],
    [widthMm * (0.02 + Math.abs(jitter())), heightMm * (0.98 - Math.abs(jitter()))],
  ];
  const ring: Xy[] = [];
  for (let k = 0; k < 4; k++) {
    const a = corners[k]!;
    const b = corners[(k + 1) % 4]!;
    const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
    const bow = random.chance(0.5) ? random.between(-0.05, 0.09) * length : 0;
    const steps = Math.round(length / STEP_MM);
    for (let i = 0; i < steps; i++) {
      const t = i / steps;
      const h = 4 * bow * t * (1 - t);
      const nx = (b[1] - a[1]) / length;
      const ny = -(b[0] - a[0]) / length;
      ring.push([a[0] + t * (b[0] - a[0]) + h * nx, a[1] + t * (b[1] - a[1]) + h * ny]);
    }
  }
  return ring;
}
