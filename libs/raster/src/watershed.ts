/**
 * Marker-controlled watershed without dam pixels: every pixel gets the label of the seed whose flood reaches it first.
 *
 * @param seeds labels > 0 where a flood starts, 0 elsewhere; row-major
 * @param height8 landscape, flooded from 0 to 255
 * Method: Meyer's flooding with one first-in-first-out bucket per level, 4-connected, O(pixels). From memory.
 */
export function watershed(
  height8: Uint8Array,
  seeds: Int32Array,
  width: number,
  height: number,
): Int32Array {
  const n = width * height;
  const labels = seeds.slice();
  const next = new Int32Array(n).fill(-1);
  const head = new Int32Array(256).fill(-1);
  const tail = new Int32Array(256).fill(-1);
  let level = 255;
  const push = (i: number, at: number): void => {
    next[i] = -1;
    if (head[at] === -1) head[at] = i;
    else next[tail[at]!] = i;
    tail[at] = i;
    if (at < level) level = at;
  };
  for (let i = 0; i < n; i++) if (labels[i]! > 0) push(i, height8[i]!);
  const visit = (from: number, to: number, at: number): void => {
    if (labels[to] !== 0) return;
    labels[to] = labels[from]!;
    push(to, Math.max(at, height8[to]!));
  };
  while (level < 256) {
    const i = head[level]!;
    if (i === -1) {
      level++;
      continue;
    }
    head[level] = next[i]!;
    const at = level;
    const x = i % width;
    if (x > 0) visit(i, i - 1, at);
    if (x < width - 1) visit(i, i + 1, at);
    if (i >= width) visit(i, i - width, at);
    if (i < n - width) visit(i, i + width, at);
  }
  return labels;
}
