/** A picture of strips lying on paper, computed pixel by pixel from a known camera. */
import { type Homography, invertHomography, project } from './homography.js';
import { lensOf, undistort } from './lens.js';
import type { RubbingImage } from './sheet.js';
import { TAG_CELLS, TAG_FAMILY } from './tag-family.js';
import { TAG_MM, type TargetLayout, type TargetPaper, targetLayout } from './target-layout.js';

export interface LaidStrip {
  readonly paper: TargetPaper;
  readonly index: number;
  readonly xMm: number;
  readonly yMm: number;
  readonly turn: number;
}

const INK = 30;
const PRINT = 235;
const PAPER = 205;
const BENCH = 90;

export function targetPicture(options: {
  widthPx: number;
  heightPx: number;
  imageFromPlane: Homography;
  k1: number;
  k2?: number;
  strips: readonly LaidStrip[];
  /** Box of the rubbing's paper, millimetres. */
  paperMm: readonly [number, number, number, number];
  printScale?: number;
}): RubbingImage {
  const { widthPx, heightPx, strips, paperMm, printScale = 1 } = options;
  const lens = lensOf({ widthPx, heightPx }, options.k1, options.k2 ?? 0);
  const back = invertHomography(options.imageFromPlane);
  const rgb = new Uint8Array(widthPx * heightPx * 3);
  const layouts = strips.map((s) => ({ ...s, layout: targetLayout(s.paper) }));
  const toneAt = (x: number, y: number): number => {
    for (const s of layouts) {
      const dx = x - s.xMm;
      const dy = y - s.yMm;
      const sx = (Math.cos(s.turn) * dx + Math.sin(s.turn) * dy) / printScale;
      const sy = (-Math.sin(s.turn) * dx + Math.cos(s.turn) * dy) / printScale;
      if (sx < 0 || sy < 0 || sx > s.layout.stripMm[0] || sy > s.layout.stripMm[1]) continue;
      return isInk(s.layout, s.index, sx, sy) ? INK : PRINT;
    }
    const onPaper = x > paperMm[0] && y > paperMm[1] && x < paperMm[2] && y < paperMm[3];
    return onPaper ? PAPER : BENCH;
  };
  // four by four rays a pixel, so that an edge is a ramp; the map is straight within a pixel
  const steps = [-0.375, -0.125, 0.125, 0.375];
  const placeOf = (u: number, v: number): [number, number] =>
    project(back, ...undistort(lens, u, v));
  for (let v = 0; v < heightPx; v++) {
    for (let u = 0; u < widthPx; u++) {
      const [x, y] = placeOf(u, v);
      const [ux, uy] = placeOf(u + 1, v);
      const [vx, vy] = placeOf(u, v + 1);
      let sum = 0;
      for (const b of steps) {
        for (const a of steps) {
          sum += toneAt(x + a * (ux - x) + b * (vx - x), y + a * (uy - y) + b * (vy - y));
        }
      }
      const at = (v * widthPx + u) * 3;
      rgb[at] = rgb[at + 1] = rgb[at + 2] = sum / 16 + 0.5;
    }
  }
  return { widthPx, heightPx, rgb };
}

function isInk(layout: TargetLayout, index: number, x: number, y: number): boolean {
  for (const tag of layout.strips[index]!.tags) {
    const i = Math.floor(((x - tag.xMm) / TAG_MM) * TAG_CELLS);
    const j = Math.floor(((y - tag.yMm) / TAG_MM) * TAG_CELLS);
    if (i < 0 || j < 0 || i >= TAG_CELLS || j >= TAG_CELLS) continue;
    if (i === 0 || j === 0 || i === TAG_CELLS - 1 || j === TAG_CELLS - 1) return true;
    return TAG_FAMILY[tag.id]![(j - 1) * (TAG_CELLS - 2) + i - 1] === 0;
  }
  return false;
}
