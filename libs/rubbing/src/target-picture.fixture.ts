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
const CELL = 8;

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
  const laid = strips.map((strip) => ({
    ...strip,
    cos: Math.cos(strip.turn) / printScale,
    sin: Math.sin(strip.turn) / printScale,
    layout: targetLayout(strip.paper),
  }));
  const toneAt = (x: number, y: number): number => {
    for (const { xMm, yMm, cos, sin, layout, index } of laid) {
      const dx = x - xMm;
      const dy = y - yMm;
      const sx = cos * dx + sin * dy;
      const sy = cos * dy - sin * dx;
      if (sx < 0 || sy < 0 || sx > layout.stripMm[0] || sy > layout.stripMm[1]) continue;
      return isInk(layout, index, sx, sy) ? INK : PRINT;
    }
    const onPaper = x > paperMm[0] && y > paperMm[1] && x < paperMm[2] && y < paperMm[3];
    return onPaper ? PAPER : BENCH;
  };
  // places on a net of cells, straight within each: off by less than a hundredth of a pixel
  const columns = Math.ceil(widthPx / CELL) + 2;
  const netRows = Math.ceil(heightPx / CELL) + 2;
  const net = new Float64Array(2 * columns * netRows);
  for (let j = 0; j < netRows; j++) {
    for (let i = 0; i < columns; i++) {
      net.set(project(back, ...undistort(lens, i * CELL, j * CELL)), 2 * (j * columns + i));
    }
  }
  const toneOf = (u: number, v: number): number => {
    const i = (u / CELL) | 0;
    const j = (v / CELL) | 0;
    const fx = u / CELL - i;
    const fy = v / CELL - j;
    const k = 2 * (j * columns + i);
    const l = k + 2 * columns;
    const mix = (c: number): number => {
      const top = net[k + c]! + fx * (net[k + 2 + c]! - net[k + c]!);
      const bottom = net[l + c]! + fx * (net[l + 2 + c]! - net[l + c]!);
      return top + fy * (bottom - top);
    };
    return toneAt(mix(0), mix(1));
  };
  const tones = new Uint8Array(widthPx * heightPx);
  for (let v = 0; v < heightPx; v++) {
    for (let u = 0; u < widthPx; u++) tones[v * widthPx + u] = toneOf(u, v);
  }
  // four by four rays for a pixel at an edge, so that the edge is a ramp
  const steps = [-0.375, -0.125, 0.125, 0.375];
  for (let v = 0; v < heightPx; v++) {
    for (let u = 0; u < widthPx; u++) {
      const i = v * widthPx + u;
      let tone = tones[i]!;
      const isInner = u > 0 && v > 0 && u < widthPx - 1 && v < heightPx - 1;
      if (
        isInner &&
        (tones[i - 1] !== tone ||
          tones[i + 1] !== tone ||
          tones[i - widthPx] !== tone ||
          tones[i + widthPx] !== tone)
      ) {
        let sum = 0;
        for (const b of steps) for (const a of steps) sum += toneOf(u + a, v + b);
        tone = sum / 16 + 0.5;
      }
      rgb[3 * i] = rgb[3 * i + 1] = rgb[3 * i + 2] = tone;
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
