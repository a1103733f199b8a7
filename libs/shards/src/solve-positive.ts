/**
 * Solves a symmetric positive definite system by Cholesky's factorisation.
 * @param matrix n × n, row by row; only its lower half is read. It is overwritten by the factor.
 * @returns the solution, or null when the matrix is not positive definite
 */
export function solvePositive(
  matrix: Float64Array,
  right: Float64Array,
): Float64Array<ArrayBuffer> | null {
  const n = right.length;
  for (let j = 0; j < n; j++) {
    const rowJ = j * n;
    let diagonal = matrix[rowJ + j]!;
    for (let k = 0; k < j; k++) diagonal -= matrix[rowJ + k]! ** 2;
    if (!(diagonal > 1e-12)) return null;
    const root = Math.sqrt(diagonal);
    matrix[rowJ + j] = root;
    for (let i = j + 1; i < n; i++) {
      const rowI = i * n;
      let s = matrix[rowI + j]!;
      for (let k = 0; k < j; k++) s -= matrix[rowI + k]! * matrix[rowJ + k]!;
      matrix[rowI + j] = s / root;
    }
  }
  const x = Float64Array.from(right);
  for (let i = 0; i < n; i++) {
    let s = x[i]!;
    for (let k = 0; k < i; k++) s -= matrix[i * n + k]! * x[k]!;
    x[i] = s / matrix[i * n + i]!;
  }
  for (let i = n - 1; i >= 0; i--) {
    let s = x[i]!;
    for (let k = i + 1; k < n; k++) s -= matrix[k * n + i]! * x[k]!;
    x[i] = s / matrix[i * n + i]!;
  }
  return x;
}
