/** A tracing in pen, drawn again as the bands of wax that the rest of the reading expects. */
import { connectedComponents, makePlane, type Plane, squaredDistance } from '#libs/raster';

export interface PenTracing {
  readonly lines: 'middles' | 'edges';
  /** As of wax: 0 beside a came, {@link BAND} within. */
  readonly density: Plane;
  /** Width of the bands drawn along middles, mm; null where both edges were traced and the width is measured. */
  readonly assumedWidthMm: number | null;
}

/** Ink beyond this share of the darkest strokes; paler is paper grain. */
const INK_SHARE = 0.45;
/** Letters, numbers and dust: strokes that reach no farther than this. */
const LONGEST_NOTE_MM = 18;
/** A pen that skipped. */
const GAP_MM = 0.5;
/** What a well rubbed band measures; any value between 0.4 and 0.7 reads alike. */
const BAND = 0.55;
/**
 * Area over the square of the inscribed radius: 3 for a disc, 4 for a square, 15 for the frame round a panel; the cames
 * of four panes 55 mm wide come to 200, of a whole panel to 1000 and more.
 */
const LONG_FOR_ITS_BREADTH = 50;
const WIDEST_CROSSING_MM = 26;
/** Edges of the drawn bands rise over this much, as a rubbed edge does. */
const RAMP_MM = 0.5;
/** Where no face widths in use are stated: a common flat came (common practice, no source). */
const USUAL_FACE_MM = 5;

/**
 * Undefined when the strokes do not hang together over the sheet, as those of a page of text.
 * @param density ink 0-1
 */
export function penTracing(
  density: Plane,
  pxPerMm: number,
  faceWidthsInUseMm: readonly number[] = [],
): PenTracing | undefined {
  const ink = strokes(density, pxPerMm);
  if (ink === undefined) return undefined;
  const { width, height } = density;
  const cames = camesBetweenEdges(ink, width, height, pxPerMm);
  if (cames !== undefined) {
    return {
      lines: 'edges',
      density: filled(cames.came, cames.other, width, height, pxPerMm),
      assumedWidthMm: null,
    };
  }
  const assumedWidthMm =
    faceWidthsInUseMm.length > 0 ? Math.min(...faceWidthsInUseMm) : USUAL_FACE_MM;
  return {
    lines: 'middles',
    density: widened(ink, width, height, pxPerMm, assumedWidthMm),
    assumedWidthMm,
  };
}

/** Mask of the strokes that belong to the drawing; undefined when no one figure of them spans the sheet. */
function strokes(density: Plane, pxPerMm: number): Uint8Array | undefined {
  const { width, height, data } = density;
  const darkest = percentile(data, 0.995);
  if (darkest < 0.15) return undefined;
  const mask = new Uint8Array(data.length);
  for (let i = 0; i < mask.length; i++) mask[i] = data[i]! > INK_SHARE * darkest ? 1 : 0;
  // strokes within a gap of each other are one figure
  const near = within(mask, width, height, GAP_MM * pxPerMm);
  const { labels, count } = connectedComponents(near, width, height, 8);
  const boxes = boxesOf(labels, count, width, height);
  const reach = boxes.map(([x0, y0, x1, y1]) => Math.hypot(x1 - x0, y1 - y0) / pxPerMm);
  const widest = boxes.reduce((a, _, l) => (reach[l]! > reach[a]! ? l : a), 0);
  if (reach[widest]! < 0.4 * (Math.hypot(width, height) / pxPerMm)) return undefined;
  for (let i = 0; i < mask.length; i++) {
    if (mask[i] && reach[labels[i]!]! < LONGEST_NOTE_MM) mask[i] = 0;
  }
  return mask;
}

/**
 * The cames, where both their edges were traced: between the strokes lies a region that is long for its breadth, and
 * the pieces of glass. Undefined when there is no such region.
 */
function camesBetweenEdges(
  ink: Uint8Array,
  width: number,
  height: number,
  pxPerMm: number,
): { came: Uint8Array; other: Uint8Array } | undefined {
  const sealed = within(ink, width, height, GAP_MM * pxPerMm);
  const isFree = sealed.map((v) => 1 - v);
  const { labels, count } = connectedComponents(isFree, width, height, 4);
  const depth = squaredDistance(sealed, width, height);
  const area = new Float64Array(count + 1);
  const deepest = new Float64Array(count + 1);
  for (let i = 0; i < labels.length; i++) {
    const l = labels[i]!;
    area[l]!++;
    if (depth[i]! > deepest[l]!) deepest[l] = depth[i]!;
  }
  const boxes = boxesOf(labels, count, width, height);
  const isCame = new Uint8Array(count + 1);
  let longest = 0;
  for (let l = 1; l <= count; l++) {
    const [x0, y0, x1, y1] = boxes[l]!;
    if (x0 === 0 || y0 === 0 || x1 === width - 1 || y1 === height - 1) continue;
    const length = area[l]! / Math.max(1, deepest[l]!);
    const widthMm = (2 * Math.sqrt(deepest[l]!)) / pxPerMm;
    if (length < LONG_FOR_ITS_BREADTH || widthMm > WIDEST_CROSSING_MM) continue;
    isCame[l] = 1;
    longest = Math.max(longest, length);
  }
  if (longest < 2 * LONG_FOR_ITS_BREADTH) return undefined;
  const came = new Uint8Array(labels.length);
  const other = new Uint8Array(labels.length);
  for (let i = 0; i < labels.length; i++) {
    if (labels[i] === 0) continue;
    if (isCame[labels[i]!]) came[i] = 1;
    else other[i] = 1;
  }
  return { came, other };
}

/** The bands run to the middle of the strokes: halfway between the came's inside and what lies beyond. */
function filled(
  came: Uint8Array,
  other: Uint8Array,
  width: number,
  height: number,
  pxPerMm: number,
): Plane {
  const toCame = squaredDistance(came, width, height);
  const toOther = squaredDistance(other, width, height);
  const out = makePlane(width, height);
  for (let i = 0; i < out.data.length; i++) {
    const beyondMm = (Math.sqrt(toCame[i]!) - Math.sqrt(toOther[i]!)) / 2 / pxPerMm;
    out.data[i] = BAND * ramp(beyondMm);
  }
  return out;
}

/** Bands of one width along the strokes. */
function widened(
  ink: Uint8Array,
  width: number,
  height: number,
  pxPerMm: number,
  faceMm: number,
): Plane {
  const paper = ink.map((v) => 1 - v);
  const inside = squaredDistance(paper, width, height);
  let sum = 0;
  let n = 0;
  for (let i = 0; i < ink.length; i++) {
    if (!ink[i]) continue;
    sum += Math.sqrt(inside[i]!) - 0.5;
    n++;
  }
  // of a strip, the mean distance to its edge is a quarter of its width
  const halfStrokeMm = (2 * sum) / Math.max(1, n) / pxPerMm;
  const outside = squaredDistance(ink, width, height);
  const out = makePlane(width, height);
  for (let i = 0; i < out.data.length; i++) {
    const fromMiddleMm = ink[i] ? 0 : (Math.sqrt(outside[i]!) - 0.5) / pxPerMm + halfStrokeMm;
    out.data[i] = BAND * ramp(fromMiddleMm - faceMm / 2);
  }
  return out;
}

/** 1 inside, 0 outside, over RAMP_MM about the edge. */
function ramp(beyondMm: number): number {
  return Math.min(1, Math.max(0, 0.5 - beyondMm / RAMP_MM));
}

function within(mask: Uint8Array, width: number, height: number, reachPx: number): Uint8Array {
  const d = squaredDistance(mask, width, height);
  const limit = reachPx * reachPx;
  const out = new Uint8Array(mask.length);
  for (let i = 0; i < out.length; i++) out[i] = d[i]! <= limit ? 1 : 0;
  return out;
}

function boxesOf(
  labels: Int32Array,
  count: number,
  width: number,
  height: number,
): [number, number, number, number][] {
  const boxes = Array.from({ length: count + 1 }, (): [number, number, number, number] => [
    Infinity,
    Infinity,
    -Infinity,
    -Infinity,
  ]);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const l = labels[y * width + x]!;
      if (l === 0) continue;
      const box = boxes[l]!;
      if (x < box[0]) box[0] = x;
      if (y < box[1]) box[1] = y;
      if (x > box[2]) box[2] = x;
      if (y > box[3]) box[3] = y;
    }
  }
  boxes[0] = [0, 0, 0, 0];
  return boxes;
}

/** Of values 0-1, to a 256th. */
function percentile(values: Float32Array, share: number): number {
  const histogram = new Uint32Array(257);
  for (const v of values) histogram[Math.min(256, Math.max(0, Math.round(v * 256)))]!++;
  let left = (1 - share) * values.length;
  for (let b = 256; b >= 0; b--) {
    left -= histogram[b]!;
    if (left <= 0) return b / 256;
  }
  return 0;
}
