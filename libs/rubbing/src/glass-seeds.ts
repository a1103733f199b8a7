import { squaredDistance } from '#libs/raster';

/**
 * Parts of the glass, over-segmented: maxima of the distance to the nearest lead, told apart where the neck between
 * them is narrower than the smaller one by `minNeck` (maxima of dynamics ≥ minNeck).
 *
 * @param isGlass 1 where glass, row-major
 * @param minRadius smaller inscribed circles start no part; all lengths in cells
 * @returns labels 1..count on the core of each part, 0 elsewhere; and the inscribed radius of each label
 */
export function glassSeeds(
  isGlass: Uint8Array,
  width: number,
  height: number,
  minNeck: number,
  minRadius: number,
): { seeds: Int32Array; count: number; radius: Float64Array } {
  const n = width * height;
  const isLead = new Uint8Array(n);
  for (let i = 0; i < n; i++) isLead[i] = isGlass[i] ? 0 : 1;
  const depth = squaredDistance(isLead, width, height);
  const limit = Math.hypot(width, height);
  for (let i = 0; i < n; i++) depth[i] = Math.min(limit, Math.sqrt(depth[i]!));

  const order = descending(depth, isGlass);
  const part = new Int32Array(n); // 0: not reached yet
  const parent = new Int32Array(order.length + 1);
  const peak = new Float32Array(order.length + 1);
  let parts = 1;
  const find = (a: number): number => {
    while (parent[a] !== a) {
      parent[a] = parent[parent[a]!]!;
      a = parent[a]!;
    }
    return a;
  };
  /** The part that a place belongs to: `own`, or 0, so far, and what it finds at its neighbour `j`. */
  const joined = (own: number, j: number, depthHere: number): number => {
    if (part[j] === 0) return own;
    const other = find(part[j]!);
    if (own === 0 || other === own) return other;
    const low = peak[own]! < peak[other]! ? own : other;
    if (peak[low]! - depthHere < minNeck || peak[low]! < minRadius) {
      const high = low === own ? other : own;
      parent[low] = high;
      return high;
    }
    return peak[other]! > peak[own]! ? other : own;
  };
  for (let k = 0; k < order.length; k++) {
    const i = order[k]!;
    const x = i % width;
    const here = depth[i]!;
    let own = 0;
    if (x > 0) own = joined(own, i - 1, here);
    if (x < width - 1) own = joined(own, i + 1, here);
    if (i >= width) own = joined(own, i - width, here);
    if (i < n - width) own = joined(own, i + width, here);
    if (own === 0) {
      own = parts++;
      parent[own] = own;
      peak[own] = here;
    }
    part[i] = own;
  }

  const name = new Int32Array(parts);
  const radius: number[] = [0];
  const seeds = new Int32Array(n);
  for (let i = 0; i < n; i++) {
    if (part[i] === 0) continue;
    const p = find(part[i]!);
    if (peak[p]! < minRadius || depth[i]! < Math.min(0.6 * peak[p]!, peak[p]! - 0.5)) continue;
    if (name[p] === 0) {
      name[p] = radius.length;
      radius.push(peak[p]!);
    }
    seeds[i] = name[p]!;
  }
  return { seeds, count: radius.length - 1, radius: Float64Array.from(radius) };
}

/** Indices of the masked pixels by falling value, equal values in scan order (counting sort, 1/32 steps). */
function descending(value: Float32Array, mask: Uint8Array): Int32Array {
  let max = 0;
  let count = 0;
  for (let i = 0; i < value.length; i++) {
    if (!mask[i]) continue;
    count++;
    if (value[i]! > max) max = value[i]!;
  }
  const levels = Math.ceil(max * 32) + 2;
  const level = (v: number): number => levels - 1 - Math.round(v * 32);
  const start = new Int32Array(levels + 1);
  for (let i = 0; i < value.length; i++) if (mask[i]) start[level(value[i]!) + 1]!++;
  for (let k = 0; k < levels; k++) start[k + 1]! += start[k]!;
  const out = new Int32Array(count);
  for (let i = 0; i < value.length; i++) if (mask[i]) out[start[level(value[i]!)]!++] = i;
  return out;
}
