import { connectedComponents, gaussianBlur, type Plane, squaredDistance } from '#libs/raster';
import { levelRing } from './level-ring.js';
import { litPlane } from './lit-plane.js';
import { ShardError, type ShardPicture } from './shard-picture.js';

/** What keeps out less light than this is bare. */
const BARE_FROM = 0.9;
/** A shard smaller than this cannot be told from dust, nor placed. */
const LEAST_AREA_MM2 = 25;
/** The darkness of the rim is looked for within so much of the edge. */
const RIM_MM = 0.45;
/** Noise is taken out so far; rim and line are both sought in the softened picture. */
const SOFT_PX = 0.6;
const COARSEST_PX_PER_MM = 4;

export interface FoundShard {
  /** Outline in millimetres of the picture (pixel / pxPerMm), flat, positive area. */
  readonly ringMm: Float64Array;
  readonly lit: Plane;
}

/**
 * The outline of the one shard in a light-box picture: the line midway between the bare light and this shard's own
 * dark rim, to a fraction of a pixel. Painted places at the edge and clear glass inside do not move it.
 * @throws ShardError when there is no shard, it is cut off by the picture's edge, or the scale is too coarse
 */
export function findShard(picture: ShardPicture): FoundShard {
  const { shardId, widthPx, heightPx, pxPerMm } = picture;
  if (!(pxPerMm >= COARSEST_PX_PER_MM)) {
    throw new ShardError(
      'coarse',
      `Shard ${shardId}: ${pxPerMm} pixels a millimetre is too coarse. Photograph it closer: at least ${COARSEST_PX_PER_MM}, better 8.`,
      shardId,
    );
  }
  const lit = litPlane(picture);
  const mask = largestDark(lit, shardId, pxPerMm);
  if (touchesEdge(mask, widthPx, heightPx)) {
    throw new ShardError(
      'cut-off',
      `Shard ${shardId} runs out of its picture. Photograph it whole, with light on all sides.`,
      shardId,
    );
  }
  const isOutside = where(mask.length, (i) => mask[i] === 0);
  const depth = squaredDistance(isOutside, widthPx, heightPx);
  const soft = gaussianBlur(lit, SOFT_PX);
  const rim = rimLevel(soft, depth, RIM_MM * pxPerMm);
  const level = (1 + rim) / 2;
  const toward = squaredDistance(mask, widthPx, heightPx);
  const { data } = soft;
  const deep = (0.7 * pxPerMm) ** 2;
  const far = (0.8 * pxPerMm) ** 2;
  for (let i = 0; i < data.length; i++) {
    if (depth[i]! > deep) data[i] = Math.min(data[i]!, rim);
    else if (toward[i]! > far) data[i] = 1;
  }
  const ringMm = levelRing({ width: widthPx, height: heightPx, data }, level);
  for (let i = 0; i < ringMm.length; i++) ringMm[i]! /= pxPerMm;
  if (ringMm.length < 60) throw noShard(shardId);
  return { ringMm, lit };
}

const noShard = (shardId: string): ShardError =>
  new ShardError(
    'no-shard',
    `Shard ${shardId}: no glass stands out from the light. Photograph one shard by itself on a lit light box.`,
    shardId,
  );

/** The largest connected place that is darker than bare light, with what it encloses. */
function largestDark({ width, height, data }: Plane, shardId: string, pxPerMm: number): Uint8Array {
  const dark = where(data.length, (i) => data[i]! < BARE_FROM);
  const filled = fillHoles(closed(dark, width, height, 0.3 * pxPerMm), width, height);
  const { labels, count } = connectedComponents(filled, width, height, 4);
  if (count === 0) throw noShard(shardId);
  const sizes = new Float64Array(count + 1);
  for (const label of labels) sizes[label]!++;
  let best = 1;
  for (let label = 2; label <= count; label++) if (sizes[label]! > sizes[best]!) best = label;
  const area = sizes[best]! / pxPerMm ** 2;
  if (area < LEAST_AREA_MM2) {
    throw new ShardError(
      'too-small',
      `Shard ${shardId} is ${area.toFixed(0)} mm²: shards under ${LEAST_AREA_MM2} mm² are placed by hand.`,
      shardId,
    );
  }
  return where(labels.length, (i) => labels[i] === best);
}

/** Closes gaps narrower than twice the radius, round. */
function closed(mask: Uint8Array, width: number, height: number, radiusPx: number): Uint8Array {
  const limit = radiusPx * radiusPx;
  const grown = squaredDistance(mask, width, height);
  const outside = where(mask.length, (i) => grown[i]! > limit);
  const depth = squaredDistance(outside, width, height);
  return where(mask.length, (i) => mask[i] === 1 || depth[i]! > limit);
}

function fillHoles(mask: Uint8Array, width: number, height: number): Uint8Array {
  const bare = where(mask.length, (i) => mask[i] === 0);
  const { labels, count } = connectedComponents(bare, width, height, 4);
  const isOpen = new Uint8Array(count + 1);
  for (let x = 0; x < width; x++)
    isOpen[labels[x]!] = isOpen[labels[(height - 1) * width + x]!] = 1;
  for (let y = 0; y < height; y++)
    isOpen[labels[y * width]!] = isOpen[labels[(y + 1) * width - 1]!] = 1;
  isOpen[0] = 0;
  return where(labels.length, (i) => isOpen[labels[i]!] === 0);
}

function where(length: number, isSo: (i: number) => boolean): Uint8Array<ArrayBuffer> {
  const out = new Uint8Array(length);
  for (let i = 0; i < length; i++) if (isSo(i)) out[i] = 1;
  return out;
}

function touchesEdge(mask: Uint8Array, width: number, height: number): boolean {
  for (let x = 0; x < width; x++) if (mask[x] || mask[(height - 1) * width + x]) return true;
  for (let y = 0; y < height; y++) if (mask[y * width] || mask[(y + 1) * width - 1]) return true;
  return false;
}

/** Median of the darkest value met near each place of the edge. */
function rimLevel({ width, data }: Plane, depth: Float32Array, reachPx: number): number {
  const reach = Math.ceil(reachPx);
  const values: number[] = [];
  for (let i = 0; i < data.length; i++) {
    if (depth[i]! === 0 || depth[i]! > 1) continue;
    let least = 1;
    for (let v = -reach; v <= reach; v++) {
      for (let u = -reach; u <= reach; u++) {
        const value = data[i + v * width + u];
        if (value !== undefined && value < least) least = value;
      }
    }
    values.push(least);
  }
  return Float64Array.from(values).sort()[values.length >> 1] ?? 0.5;
}
