/** Finds the tags of the target sheet in a picture: where, which, and each corner to a small part of a pixel. */
import { connectedComponents } from '#libs/raster';
import { type GreyImage, greyAt } from './grey-image.js';
import { fitHomography, project } from './homography.js';
import { readTag, TAG_CELLS } from './tag-family.js';
import { type LabelBox, quadOf } from './tag-quad.js';

export interface SeenTag {
  readonly id: number;
  /** Corners of the black square, clockwise from the tag's own top left, flat pixels. */
  readonly cornersPx: Float64Array;
}

/** The search runs on a picture no longer than this: a tag of 16 mm on a 600 mm sheet is then 50 px wide. */
const SEARCH_PX = 2000;
/** Black is darker than the mean around by this share. */
const DARKER = 0.82;
const LEAST_SIDE_PX = 12;

/** All tags, each once (the largest), in order of their number. */
export function findTags(grey: GreyImage): SeenTag[] {
  const longest = Math.max(grey.width, grey.height);
  const step = Math.max(1, Math.ceil(longest / SEARCH_PX));
  const small = shrunk(grey, step);
  const mask = darkMask(small);
  const { labels, count } = connectedComponents(mask, small.width, small.height, 8);
  const best = new Map<number, { tag: SeenTag; side: number }>();
  for (const box of boxesOf(labels, small.width, small.height, count)) {
    const w = box.maxX - box.minX + 1;
    const h = box.maxY - box.minY + 1;
    if (Math.min(w, h) < LEAST_SIDE_PX || Math.max(w, h) > 2.5 * Math.min(w, h)) continue;
    if (Math.max(w, h) > small.width / 3) continue;
    const quad = quadOf(labels, small.width, box);
    if (!quad) continue;
    // pixel centres of the small picture in the large one
    const rough = quad.map((v) => v * step + (step - 1) / 2);
    const sharp = refined(grey, rough, step);
    const tag = sharp && decoded(grey, sharp);
    if (!tag) continue;
    const side = Math.hypot(sharp[2]! - sharp[0]!, sharp[3]! - sharp[1]!);
    const before = best.get(tag.id);
    if (!before || before.side < side) best.set(tag.id, { tag, side });
  }
  return [...best.values()].map(({ tag }) => tag).sort((a, b) => a.id - b.id);
}

function shrunk(grey: GreyImage, step: number): GreyImage {
  if (step === 1) return grey;
  const width = Math.floor(grey.width / step);
  const height = Math.floor(grey.height / step);
  const data = new Uint8Array(width * height);
  const row = new Uint32Array(width);
  for (let y = 0; y < height; y++) {
    row.fill(0);
    for (let j = 0; j < step; j++) {
      let i = (y * step + j) * grey.width;
      for (let x = 0; x < width; x++) {
        let s = 0;
        for (let k = 0; k < step; k++) s += grey.data[i++]!;
        row[x]! += s;
      }
    }
    for (let x = 0; x < width; x++) data[y * width + x] = row[x]! / (step * step) + 0.5;
  }
  return { width, height, data };
}

/** Pixels darker than their surroundings, by a running sum. */
function darkMask({ width, height, data }: GreyImage): Uint8Array {
  const half = Math.max(12, Math.round(width / 50));
  const sums = new Float64Array((width + 1) * (height + 1));
  for (let y = 0; y < height; y++) {
    let line = 0;
    for (let x = 0; x < width; x++) {
      line += data[y * width + x]!;
      sums[(y + 1) * (width + 1) + x + 1] = sums[y * (width + 1) + x + 1]! + line;
    }
  }
  const mask = new Uint8Array(width * height);
  for (let y = 0; y < height; y++) {
    const y0 = (y < half ? 0 : y - half) * (width + 1);
    const y1 = (y + half + 1 > height ? height : y + half + 1) * (width + 1);
    const rows = (y1 - y0) / (width + 1);
    for (let x = 0; x < width; x++) {
      const x0 = x < half ? 0 : x - half;
      const x1 = x + half + 1 > width ? width : x + half + 1;
      const sum = sums[y1 + x1]! - sums[y0 + x1]! - sums[y1 + x0]! + sums[y0 + x0]!;
      if (data[y * width + x]! * rows * (x1 - x0) < DARKER * sum) mask[y * width + x] = 1;
    }
  }
  return mask;
}

function boxesOf(labels: Int32Array, width: number, height: number, count: number): LabelBox[] {
  const boxes = Array.from({ length: count }, (_, k): LabelBox => {
    return { label: k + 1, minX: width, minY: height, maxX: -1, maxY: -1, pixels: 0 };
  });
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const label = labels[y * width + x]!;
      if (label === 0) continue;
      const box = boxes[label - 1]!;
      box.pixels++;
      if (x < box.minX) box.minX = x;
      if (x > box.maxX) box.maxX = x;
      if (y < box.minY) box.minY = y;
      if (y > box.maxY) box.maxY = y;
    }
  }
  return boxes;
}

/** Corners as intersections of lines through the edges, each found across itself in the full picture. */
function refined(
  grey: GreyImage,
  rough: readonly number[],
  step: number,
): Float64Array | undefined {
  const side = Math.hypot(rough[2]! - rough[0]!, rough[3]! - rough[1]!);
  const cell = side / TAG_CELLS;
  let corners = Float64Array.from(rough);
  for (let round = 0; round < 2; round++) {
    const reach = round === 0 ? Math.min(0.8 * cell, 1.5 * step + 2) : Math.min(0.6 * cell, 4);
    const lines: [number, number, number][] = [];
    for (let k = 0; k < 4; k++) {
      const line = edgeLine(
        grey,
        corners[2 * k]!,
        corners[2 * k + 1]!,
        corners[(2 * k + 2) % 8]!,
        corners[(2 * k + 3) % 8]!,
        reach,
      );
      if (!line) return undefined;
      lines.push(line);
    }
    const next = new Float64Array(8);
    for (let k = 0; k < 4; k++) {
      const [a, b, c] = lines[(k + 3) % 4]!;
      const [d, e, f] = lines[k]!;
      const det = a * e - b * d;
      if (Math.abs(det) < 0.2) return undefined;
      next[2 * k] = (c * e - b * f) / det;
      next[2 * k + 1] = (a * f - c * d) / det;
      if (Math.hypot(next[2 * k]! - rough[2 * k]!, next[2 * k + 1]! - rough[2 * k + 1]!) > cell) {
        return undefined;
      }
    }
    corners = next;
  }
  return corners;
}

/** a x + b y = c with (a, b) of length one, through the step from white outside to black inside. */
function edgeLine(
  grey: GreyImage,
  ax: number,
  ay: number,
  bx: number,
  by: number,
  reach: number,
): [number, number, number] | undefined {
  const length = Math.hypot(bx - ax, by - ay);
  const [tx, ty] = [(bx - ax) / length, (by - ay) / length];
  // corners run clockwise as seen (y down): outside lies to the left of the way
  const [nx, ny] = [ty, -tx];
  const samples = Math.max(12, Math.min(60, Math.round(length)));
  const points: [number, number][] = [];
  const half = Math.ceil(reach * 2);
  const profile = new Float64Array(2 * half + 1);
  for (let k = 0; k < samples; k++) {
    const t = (0.08 + (0.84 * (k + 0.5)) / samples) * length;
    for (let i = -half; i <= half; i++) {
      profile[i + half] = greyAt(grey, ax + tx * t + (nx * i) / 2, ay + ty * t + (ny * i) / 2);
    }
    let weight = 0;
    let moment = 0;
    for (let i = 0; i < 2 * half; i++) {
      const g = profile[i + 1]! - profile[i]!;
      if (g <= 0) continue;
      weight += g * g;
      moment += g * g * (i + 0.5 - half);
    }
    if (weight < 100) continue;
    points.push([t, moment / weight / 2]);
  }
  if (points.length < 0.6 * samples) return undefined;
  let a = 0;
  let b = 0;
  for (let round = 0; round < 6; round++) {
    let s0 = 0;
    let st = 0;
    let stt = 0;
    let sd = 0;
    let std = 0;
    for (const [t, d] of points) {
      const r = Math.abs(d - a - b * t);
      const w = round === 0 ? 1 : 1 / Math.max(0.1, r);
      s0 += w;
      st += w * t;
      stt += w * t * t;
      sd += w * d;
      std += w * t * d;
    }
    const det = s0 * stt - st * st;
    b = (s0 * std - st * sd) / det;
    a = (sd - b * st) / s0;
  }
  const off = points.reduce((s, [t, d]) => s + Math.abs(d - a - b * t), 0) / points.length;
  if (off > Math.max(0.6, 0.25 * reach)) return undefined;
  const px = ax + nx * a;
  const py = ay + ny * a;
  const ux = tx + nx * b;
  const uy = ty + ny * b;
  const norm = Math.hypot(ux, uy);
  const [la, lb] = [-uy / norm, ux / norm];
  return [la, lb, la * px + lb * py];
}

function decoded(grey: GreyImage, corners: Float64Array): SeenTag | undefined {
  const n = TAG_CELLS;
  const map = fitHomography([0, 0, n, 0, n, n, 0, n], corners);
  const cell = (x: number, y: number): number => {
    let s = 0;
    for (const dy of [0.3, 0.5, 0.7]) {
      for (const dx of [0.3, 0.5, 0.7]) s += greyAt(grey, ...project(map, x + dx, y + dy)) / 9;
    }
    return s;
  };
  let black = 0;
  let white = 0;
  let darkest = 0;
  for (let k = 0; k < n; k++) {
    for (const [x, y] of [
      [k, 0],
      [k, n - 1],
      [0, k],
      [n - 1, k],
    ] as const) {
      const v = cell(x, y);
      black += v / (4 * n);
      darkest = Math.max(darkest, v);
    }
    for (const [x, y] of [
      [k, -1],
      [k, n],
      [-1, k],
      [n, k],
    ] as const) {
      white += cell(x, y) / (4 * n);
    }
  }
  if (white - black < 25) return undefined;
  const level = (black + white) / 2;
  if (darkest > level + 0.2 * (white - black)) return undefined;
  const seen = new Uint8Array((n - 2) * (n - 2));
  for (let y = 1; y < n - 1; y++) {
    for (let x = 1; x < n - 1; x++) seen[(y - 1) * (n - 2) + x - 1] = cell(x, y) > level ? 1 : 0;
  }
  const read = readTag(seen);
  if (!read) return undefined;
  const cornersPx = new Float64Array(8);
  for (let k = 0; k < 4; k++) {
    const from = (k + read.quarterTurns) % 4;
    cornersPx[2 * k] = corners[2 * from]!;
    cornersPx[2 * k + 1] = corners[2 * from + 1]!;
  }
  return { id: read.id, cornersPx };
}
