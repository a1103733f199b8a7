/** The largest upright rectangle of a raster that holds nothing. */

/**
 * @param taken nonzero where something lies
 * @returns first column and row, and those after the last; undefined when everything is taken
 * Source: the largest rectangle under a histogram, row by row, folklore.
 */
export function largestRoom(
  taken: Uint8Array,
  width: number,
  height: number,
): [number, number, number, number] | undefined {
  const free = new Int32Array(width + 1);
  let best: [number, number, number, number] | undefined;
  let most = 0;
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) free[x] = taken[y * width + x] ? 0 : free[x]! + 1;
    const stack: number[] = [];
    for (let x = 0; x <= width; x++) {
      const here = x === width ? 0 : free[x]!;
      while (stack.length > 0 && free[stack.at(-1)!]! >= here) {
        const tall = free[stack.pop()!]!;
        const from = stack.length > 0 ? stack.at(-1)! + 1 : 0;
        if (tall * (x - from) > most) {
          most = tall * (x - from);
          best = [from, y + 1 - tall, x, y + 1];
        }
      }
      stack.push(x);
    }
  }
  return best;
}
