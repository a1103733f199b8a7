/** Pen and pencil on the sheet's raster. */
import type { Polyline } from './polyline.js';
import type { Sheet } from './sheet.js';
import type { SmoothNoise } from './smooth-noise.js';

export interface Tool {
  widthMm: number;
  /** 0 none .. 1 black. */
  darkness: number;
  /** Paper grain that breaks the line up; none for ink. */
  grain?: SmoothNoise;
}

/** @param tone reflectance of the marks on the paper, 1 = bare; darkened in place. */
export function drawStrokes(
  sheet: Sheet,
  tone: Float32Array,
  strokes: readonly Polyline[],
  tool: Tool,
): void {
  const s = sheet.pxPerMm;
  const half = tool.widthMm / 2;
  for (const line of strokes) {
    for (let k = 1; k < line.length; k++) {
      const a = line[k - 1]!;
      const b = line[k]!;
      const pad = half + 0.4;
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
      const uu = ux * ux + uy * uy || 1;
      for (let y = y0; y <= y1; y++) {
        const ym = (y + 0.5) / s + sheet.topMm;
        for (let x = x0; x <= x1; x++) {
          const xm = (x + 0.5) / s + sheet.leftMm;
          const t = Math.min(1, Math.max(0, ((xm - a[0]) * ux + (ym - a[1]) * uy) / uu));
          const d = Math.hypot(xm - a[0] - t * ux, ym - a[1] - t * uy);
          let share = Math.min(1, Math.max(0, (half - d) * s + 0.5));
          if (share <= 0) continue;
          if (tool.grain) share *= Math.min(1, Math.max(0, 0.78 + 0.3 * tool.grain.at(xm, ym)));
          const i = y * sheet.widthPx + x;
          tone[i] = Math.min(tone[i]!, 1 - tool.darkness * share);
        }
      }
    }
  }
}
