/** One shard as a body: how deep each place lies inside of it once its edges have lost a little. */
import type { RandomStream } from '../random-stream.js';
import { SmoothNoise } from '../smooth-noise.js';

export const BODY_PX_PER_MM = 16;
const MARGIN_MM = 1.5;
/** Nothing that shows depends on more than this. */
const FAR_MM = 1.4;

/** Which shard lies at each place of the whole piece, on a fine grid; -1 off the piece. */
export interface LabelGrid {
  readonly width: number;
  readonly height: number;
  readonly labels: Int16Array;
}

export interface ShardBody {
  readonly x0Mm: number;
  readonly y0Mm: number;
  readonly width: number;
  readonly height: number;
  /** Signed depth inside the shard in millimetres, negative outside. */
  readonly depthMm: Float32Array;
  readonly areaMm2: number;
  readonly centroidMm: readonly [number, number];
}

export interface BodyWear {
  readonly isChipped: boolean;
}

export function shardBody(
  grid: LabelGrid,
  label: number,
  random: RandomStream,
  wear: BodyWear,
): ShardBody {
  const box = boundsOf(grid, label);
  const { x, y, width, height } = box;
  const other = new Uint8Array(width * height);
  const off = new Uint8Array(width * height);
  const own = new Uint8Array(width * height);
  for (let v = 0; v < height; v++) {
    for (let u = 0; u < width; u++) {
      const gx = x + u;
      const gy = y + v;
      const isOn = gx >= 0 && gy >= 0 && gx < grid.width && gy < grid.height;
      const l = isOn ? grid.labels[gy * grid.width + gx]! : -1;
      const k = v * width + u;
      if (l === label) own[k] = 1;
      else if (l >= 0) other[k] = 1;
      else off[k] = 1;
    }
  }
  const toOther = distanceTo(other, width, height);
  const toOff = distanceTo(off, width, height);
  const toOwn = distanceTo(own, width, height);
  const lost = random.between(0.15, 0.25);
  const noise = new SmoothNoise(random, 6);
  const grozing = new SmoothNoise(random, 2.5);
  const uneven = random.between(0.01, 0.04);
  const depthMm = new Float32Array(width * height);
  const px = BODY_PX_PER_MM;
  for (let v = 0; v < height; v++) {
    for (let u = 0; u < width; u++) {
      const k = v * width + u;
      const loss = lost + 0.025 * noise.at(u / px, v / px);
      depthMm[k] = own[k]
        ? Math.min(
            (toOther[k]! - 0.5) / px - loss,
            (toOff[k]! - 0.5) / px - 0.05 - uneven * grozing.at(u / px, v / px),
          )
        : -(toOwn[k]! - 0.5) / px - 0.03;
    }
  }
  if (wear.isChipped) chip(depthMm, width, height, random);
  let count = 0;
  let sx = 0;
  let sy = 0;
  for (let k = 0; k < depthMm.length; k++) {
    if (depthMm[k]! <= 0) continue;
    count++;
    sx += k % width;
    sy += Math.floor(k / width);
  }
  return {
    x0Mm: x / px,
    y0Mm: y / px,
    width,
    height,
    depthMm,
    areaMm2: count / px ** 2,
    centroidMm: [(x + sx / count) / px, (y + sy / count) / px],
  };
}

/** Flakes off the edge: rounded bites. */
function chip(depth: Float32Array, width: number, height: number, random: RandomStream): void {
  const edge: number[] = [];
  for (let k = 0; k < depth.length; k++) if (Math.abs(depth[k]!) < 0.04) edge.push(k);
  for (let n = random.whole(1, 4); n > 0; n--) {
    const at = random.pick(edge);
    const cx = at % width;
    const cy = Math.floor(at / width);
    const radius = random.between(0.6, 2.2) * BODY_PX_PER_MM;
    const reach = Math.ceil(radius + 30);
    for (let v = Math.max(0, cy - reach); v < Math.min(height, cy + reach); v++) {
      for (let u = Math.max(0, cx - reach); u < Math.min(width, cx + reach); u++) {
        const d = (Math.hypot(u - cx, v - cy) - radius) / BODY_PX_PER_MM;
        const k = v * width + u;
        if (d < depth[k]!) depth[k] = d;
      }
    }
  }
}

function boundsOf(
  { width, height, labels }: LabelGrid,
  label: number,
): { x: number; y: number; width: number; height: number } {
  let [x1, y1, x2, y2] = [width, height, 0, 0];
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      if (labels[y * width + x] !== label) continue;
      if (x < x1) x1 = x;
      if (x > x2) x2 = x;
      if (y < y1) y1 = y;
      if (y > y2) y2 = y;
    }
  }
  const margin = MARGIN_MM * BODY_PX_PER_MM;
  return {
    x: x1 - margin,
    y: y1 - margin,
    width: x2 - x1 + 1 + 2 * margin,
    height: y2 - y1 + 1 + 2 * margin,
  };
}

/** Distance in grid steps to the nearest marked place: exact to the row, then the least over nearby rows. */
function distanceTo(mark: Uint8Array, width: number, height: number): Float32Array {
  const far = FAR_MM * BODY_PX_PER_MM;
  const across = new Float32Array(width * height).fill(far);
  for (let y = 0; y < height; y++) {
    let last = -1e9;
    for (let x = 0; x < width; x++) {
      if (mark[y * width + x]) last = x;
      across[y * width + x] = Math.min(far, x - last);
    }
    last = 1e9;
    for (let x = width - 1; x >= 0; x--) {
      if (mark[y * width + x]) last = x;
      across[y * width + x] = Math.min(across[y * width + x]!, last - x);
    }
  }
  const out = new Float32Array(width * height);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      let best = across[y * width + x]! ** 2;
      for (let d = 1; d < far && d * d < best; d++) {
        if (y >= d) best = Math.min(best, across[(y - d) * width + x]! ** 2 + d * d);
        if (y + d < height) best = Math.min(best, across[(y + d) * width + x]! ** 2 + d * d);
      }
      out[y * width + x] = Math.sqrt(best);
    }
  }
  return out;
}
