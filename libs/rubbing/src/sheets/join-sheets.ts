/** Placed sheets laid over one another on one grid, each fading out towards its own edge so that no seam shows. */
import { bilinear, makePlane, type Plane, squaredDistance } from '#libs/raster';
import { inverseOf, moved, type Rigid } from './rigid.js';
import type { WaxSheet } from './wax-picture.js';

export interface SheetLayer {
  readonly wax: WaxSheet;
  /** Grey of the sheet, as many pixels as the density. */
  readonly grey: Uint8Array;
  /** The sheet's own frame → the common one. */
  readonly place: Rigid;
}

export interface JoinedSheets {
  readonly density: Plane;
  readonly grey: Uint8Array;
  readonly pxPerMm: number;
  readonly originMm: readonly [number, number];
}

/** A sheet has its full say this far from its edge. */
const FADE_MM = 25;
/** Keeps sixteen bytes a pixel well under 1 GiB. */
const MAX_PIXELS = 40e6;
const PAPER = 235;

/** @param base the layer that lies in the common frame; its pixels are taken over as they are where it is alone */
export function joinSheets(layers: readonly SheetLayer[], base: number): JoinedSheets {
  const first = layers[base]!;
  const [minX, minY, maxX, maxY] = boxOf(layers);
  const pxPerMm = Math.min(
    first.wax.pxPerMm,
    Math.sqrt(MAX_PIXELS / ((maxX - minX) * (maxY - minY))),
  );
  // on the first sheet's own grid, where the scale allows
  const onGrid = (v: number, origin: number): number =>
    origin + Math.floor((v - origin) * pxPerMm) / pxPerMm;
  const originMm = [
    onGrid(minX, first.wax.originMm[0]),
    onGrid(minY, first.wax.originMm[1]),
  ] as const;
  const width = Math.ceil((maxX - originMm[0]) * pxPerMm);
  const height = Math.ceil((maxY - originMm[1]) * pxPerMm);
  const density = makePlane(width, height);
  const greySum = new Float32Array(width * height);
  const weight = new Float32Array(width * height);
  for (const layer of layers) addLayer(layer, density, greySum, weight, pxPerMm, originMm);
  const grey = new Uint8Array(width * height);
  for (let i = 0; i < grey.length; i++) {
    const w = weight[i]!;
    if (w > 0) density.data[i]! /= w;
    grey[i] = w > 0 ? greySum[i]! / w + 0.5 : PAPER;
  }
  return { density, grey, pxPerMm, originMm };
}

function addLayer(
  { wax, grey, place }: SheetLayer,
  density: Plane,
  greySum: Float32Array,
  weight: Float32Array,
  pxPerMm: number,
  originMm: readonly [number, number],
): void {
  const own = inverseOf(place);
  const fade = fadeOf(wax);
  const { width, height } = wax.density;
  const ratio = wax.pxPerMm;
  for (let y = 0; y < density.height; y++) {
    for (let x = 0; x < density.width; x++) {
      const [mx, my] = moved(own, originMm[0] + x / pxPerMm, originMm[1] + y / pxPerMm);
      const u = (mx - wax.originMm[0]) * ratio;
      const v = (my - wax.originMm[1]) * ratio;
      if (u < 0 || v < 0 || u > width - 1 || v > height - 1) continue;
      const w = bilinear(fade, u / FADE_CELL - 0.5, v / FADE_CELL - 0.5);
      if (w <= 0) continue;
      const i = y * density.width + x;
      density.data[i]! += w * bilinear(wax.density, u, v);
      greySum[i]! += w * grey[Math.round(v) * width + Math.round(u)]!;
      weight[i]! += w;
    }
  }
}

const FADE_CELL = 4;

/** Weight of every fourth pixel: the square of the distance to the sheet's edge, level from FADE_MM on. */
function fadeOf(wax: WaxSheet): Plane {
  const width = Math.ceil(wax.density.width / FADE_CELL);
  const height = Math.ceil(wax.density.height / FADE_CELL);
  // one cell more all round, off the sheet
  const w = width + 2;
  const h = height + 2;
  const isOff = new Uint8Array(w * h).fill(1);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const px = Math.min(wax.density.width - 1, x * FADE_CELL + 2);
      const py = Math.min(wax.density.height - 1, y * FADE_CELL + 2);
      isOff[(y + 1) * w + x + 1] =
        wax.seen === undefined || wax.seen[py * wax.density.width + px] ? 0 : 1;
    }
  }
  const distance = squaredDistance(isOff, w, h);
  const out = makePlane(width, height);
  const scale = (FADE_CELL / wax.pxPerMm / FADE_MM) ** 2;
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      out.data[y * width + x] = Math.min(1, scale * distance[(y + 1) * w + x + 1]!) ** 1.5;
    }
  }
  return out;
}

function boxOf(layers: readonly SheetLayer[]): [number, number, number, number] {
  let minX = Infinity;
  let minY = Infinity;
  let maxX = -Infinity;
  let maxY = -Infinity;
  for (const { wax, place } of layers) {
    const [x0, y0] = wax.originMm;
    const x1 = x0 + (wax.density.width - 1) / wax.pxPerMm;
    const y1 = y0 + (wax.density.height - 1) / wax.pxPerMm;
    for (const [x, y] of [
      [x0, y0],
      [x1, y0],
      [x0, y1],
      [x1, y1],
    ] as const) {
      const [mx, my] = moved(place, x, y);
      minX = Math.min(minX, mx);
      minY = Math.min(minY, my);
      maxX = Math.max(maxX, mx);
      maxY = Math.max(maxY, my);
    }
  }
  return [minX, minY, maxX, maxY];
}
