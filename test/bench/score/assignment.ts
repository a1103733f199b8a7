/**
 * Cheapest one-to-one assignment of rows to columns (shortest augmenting paths with potentials, O(n² m)).
 * Source: R. Jonker, A. Volgenant, "A shortest augmenting path algorithm for dense and sparse linear
 * assignment problems", Computing 38, 1987 (from memory).
 *
 * @param cost row-major, rows × columns, finite.
 * @returns for each row its column, -1 when there are more rows than columns and the row stays single.
 */
export function assign(cost: Float64Array, rows: number, columns: number): Int32Array {
  if (rows > columns) {
    const turned = new Float64Array(cost.length);
    for (let r = 0; r < rows; r++)
      for (let c = 0; c < columns; c++) turned[c * rows + r] = cost[r * columns + c]!;
    const rowOf = assign(turned, columns, rows);
    const out = new Int32Array(rows).fill(-1);
    rowOf.forEach((r, c) => {
      out[r] = c;
    });
    return out;
  }
  const u = new Float64Array(rows + 1);
  const v = new Float64Array(columns + 1);
  const match = new Int32Array(columns + 1); // row matched to a column, 1-based; 0 = free
  const way = new Int32Array(columns + 1);
  for (let r = 1; r <= rows; r++) {
    match[0] = r;
    let column = 0;
    const least = new Float64Array(columns + 1).fill(Infinity);
    const used = new Uint8Array(columns + 1);
    do {
      used[column] = 1;
      const row = match[column]!;
      let delta = Infinity;
      let next = 0;
      for (let c = 1; c <= columns; c++) {
        if (used[c]) continue;
        const reduced = cost[(row - 1) * columns + c - 1]! - u[row]! - v[c]!;
        if (reduced < least[c]!) {
          least[c] = reduced;
          way[c] = column;
        }
        if (least[c]! < delta) {
          delta = least[c]!;
          next = c;
        }
      }
      for (let c = 0; c <= columns; c++) {
        if (used[c]) {
          u[match[c]!]! += delta;
          v[c]! -= delta;
        } else {
          least[c]! -= delta;
        }
      }
      column = next;
    } while (match[column] !== 0);
    while (column !== 0) {
      const before = way[column]!;
      match[column] = match[before]!;
      column = before;
    }
  }
  const out = new Int32Array(rows).fill(-1);
  for (let c = 1; c <= columns; c++) if (match[c]! > 0) out[match[c]! - 1] = c - 1;
  return out;
}
