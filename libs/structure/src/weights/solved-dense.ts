/**
 * Solution of a square system by elimination with the largest pivot of each column; null where it has none.
 *
 * @param matrix row by row; overwritten
 * @param right overwritten
 */
export function solvedDense(matrix: Float64Array, right: Float64Array): Float64Array | null {
  const n = right.length;
  let largest = 0;
  for (const value of matrix) largest = Math.max(largest, Math.abs(value));
  for (let column = 0; column < n; column++) {
    let pivot = column;
    for (let row = column + 1; row < n; row++) {
      if (Math.abs(matrix[row * n + column]!) > Math.abs(matrix[pivot * n + column]!)) pivot = row;
    }
    if (Math.abs(matrix[pivot * n + column]!) <= 1e-10 * largest) return null;
    if (pivot !== column) swapRows(matrix, right, n, pivot, column);
    for (let row = column + 1; row < n; row++) {
      const share = matrix[row * n + column]! / matrix[column * n + column]!;
      if (share === 0) continue;
      for (let k = column; k < n; k++) matrix[row * n + k]! -= share * matrix[column * n + k]!;
      right[row]! -= share * right[column]!;
    }
  }
  for (let row = n - 1; row >= 0; row--) {
    for (let k = row + 1; k < n; k++) right[row]! -= matrix[row * n + k]! * right[k]!;
    right[row]! /= matrix[row * n + row]!;
  }
  return right;
}

function swapRows(m: Float64Array, right: Float64Array, n: number, a: number, b: number): void {
  for (let k = 0; k < n; k++) [m[a * n + k], m[b * n + k]] = [m[b * n + k]!, m[a * n + k]!];
  [right[a], right[b]] = [right[b]!, right[a]!];
}
