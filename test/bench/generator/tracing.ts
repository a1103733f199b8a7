/** A tracing in pen instead of a rubbing: one even line along the middle of each lead, or along both its edges. */
import type { CameField } from './came-field.js';
import { drawStrokes } from './draw-strokes.js';
import type { PanelNet } from './panel-net.js';
import { type Point, resample } from './polyline.js';
import type { RandomStream } from './random-stream.js';
import type { Sheet } from './sheet.js';
import { SmoothNoise } from './smooth-noise.js';
import type { Wax } from './wax.js';

/** How far a tracing hand strays, one standard deviation (common practice, no source). */
const HAND_MM = 0.12;

/** @returns ink in the place of wax: 0 bare .. 1 covered */
export function tracing(
  random: RandomStream,
  sheet: Sheet,
  net: PanelNet,
  field: CameField,
  lines: 'pen-middles' | 'pen-edges',
): Wax {
  const penMm = random.between(0.4, 0.7);
  const stray = [new SmoothNoise(random.branch('x'), 18), new SmoothNoise(random.branch('y'), 18)];
  const size = sheet.widthPx * sheet.heightPx;
  const dust = new Float32Array(size);
  if (lines === 'pen-edges') {
    const cover = field.depthMm.map((depth, i) => {
      if (depth < -2 || depth > 2) return 0;
      const x = (i % sheet.widthPx) / sheet.pxPerMm;
      const y = Math.floor(i / sheet.widthPx) / sheet.pxPerMm;
      const off = Math.abs(depth + HAND_MM * stray[0]!.at(x, y));
      return Math.min(1, Math.max(0, (penMm / 2 - off) * sheet.pxPerMm + 0.5));
    });
    return { cover, dust };
  }
  const paper = new Float32Array(size).fill(1);
  const strokes = net.graph.leads.map((e, k) =>
    resample(e.line, 1.5).map(
      ([x, y]): Point => [
        x + HAND_MM * stray[0]!.at(x + 31 * k, y),
        y + HAND_MM * stray[1]!.at(x, y + 31 * k),
      ],
    ),
  );
  drawStrokes(sheet, paper, strokes, { widthMm: penMm, darkness: 1 });
  return { cover: paper.map((tone) => 1 - tone), dust };
}
