/** For every pixel of the sheet: how deep it lies inside the came, and which came. */
import { type Graph, nodeDegrees } from './arrangement.js';
import { type Point, resample } from './polyline.js';
import type { RandomStream } from './random-stream.js';
import type { Sheet } from './sheet.js';

/** Glass farther than this from any came looks the same everywhere, mm. */
export const REACH_MM = 13;

export interface CameField {
  /** mm inside the nearest came's edge; negative outside, not below -REACH_MM. */
  depthMm: Float32Array;
  /** Lead index + 1; 0 far from all. */
  lead: Uint16Array;
}

export function cameField(random: RandomStream, sheet: Sheet, graph: Graph): CameField {
  const depthMm = new Float32Array(sheet.widthPx * sheet.heightPx).fill(-REACH_MM);
  const lead = new Uint16Array(depthMm.length);
  graph.leads.forEach((e, i) => {
    const line = resample(e.line, 4);
    for (let k = 1; k < line.length; k++)
      stroke(sheet, line[k - 1]!, line[k]!, e.widthMm / 2, i + 1, depthMm, lead);
  });
  // Solder at joints: a round blob that fills the crotches, here and there.
  const degree = nodeDegrees(graph);
  graph.nodes.forEach((node, n) => {
    const widest = Math.max(
      ...graph.leads.filter((e) => e.from === n || e.to === n).map((e) => e.widthMm),
    );
    if (degree[n]! > 2 && random.chance(0.3)) {
      const lead0 = graph.leads.findIndex((e) => e.from === n || e.to === n);
      stroke(sheet, node, node, widest / 2 + random.between(0.1, 0.7), lead0 + 1, depthMm, lead);
    }
  });
  return { depthMm, lead };
}

function stroke(
  sheet: Sheet,
  a: Point,
  b: Point,
  halfMm: number,
  label: number,
  depthMm: Float32Array,
  lead: Uint16Array,
): void {
  const s = sheet.pxPerMm;
  const pad = halfMm + REACH_MM;
  const x0 = Math.max(0, Math.floor((Math.min(a[0], b[0]) - pad - sheet.leftMm) * s));
  const x1 = Math.min(
    sheet.widthPx - 1,
    Math.ceil((Math.max(a[0], b[0]) + pad - sheet.leftMm) * s),
  );
  const y0 = Math.max(0, Math.floor((Math.min(a[1], b[1]) - pad - sheet.topMm) * s));
  const y1 = Math.min(
    sheet.heightPx - 1,
    Math.ceil((Math.max(a[1], b[1]) + pad - sheet.topMm) * s),
  );
  const ux = b[0] - a[0];
  const uy = b[1] - a[1];
  const uu = ux * ux + uy * uy;
  const inverse = uu > 0 ? 1 / uu : 0;
  for (let y = y0; y <= y1; y++) {
    const py = (y + 0.5) / s + sheet.topMm - a[1];
    for (let x = x0; x <= x1; x++) {
      const px = (x + 0.5) / s + sheet.leftMm - a[0];
      let t = (px * ux + py * uy) * inverse;
      t = t < 0 ? 0 : t > 1 ? 1 : t;
      const dx = px - t * ux;
      const dy = py - t * uy;
      const depth = halfMm - Math.sqrt(dx * dx + dy * dy);
      const i = y * sheet.widthPx + x;
      if (depth > depthMm[i]!) {
        depthMm[i] = depth;
        lead[i] = label;
      }
    }
  }
}
