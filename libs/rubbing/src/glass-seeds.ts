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
  const parent = [0];
  const peak = [0];
  const find = (a: number): number => {
    while (parent[a] !== a) {
      parent[a] = parent[parent[a]!]!;
      a = parent[a]!;
    }
    return a;
  };
  for (const i of order) {
    const x = i % width;
    let own = 0;
    const look = (j: number): void => {
      if (part[j] === 0) return;
      const other = find(part[j]!);
      if (own === 0) own = other;
      else if (other !== own) {
        const low = peak[own]! < peak[other]! ? own : other;
        if (peak[low]! - depth[i]! < minNeck || peak[low]! < minRadius) {
          const high = low === own ? other : own;
          parent[low] = high;
          own = high;
        } else if (peak[other]! > peak[own]!) own = other;
      }
    };
    if (x > 0) look(i - 1);
    if (x < width - 1) look(i + 1);
    if (i >= width) look(i - width);
    if (i < n - width) look(i + width);
    if (own === 0) {
      own = parent.length;
      parent.push(own);
      peak.push(depth[i]!);
    }
    part[i] = own;
  }

  const name = new Int32Array(parent.length);
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
