/** Two small symmetric problems, dense and row-major. */

/**
 * Eigenvector of the smallest eigenvalue of a symmetric matrix, by cyclic Jacobi rotations.
 * Source: Golub and Van Loan, Matrix Computations, section 8.5 (from memory).
 */
export function smallestEigenvector(symmetric: Float64Array, n: number): Float64Array {
  const a = Float64Array.from(symmetric);
  const v = new Float64Array(n * n);
  for (let i = 0; i < n; i++) v[i * n + i] = 1;
  for (let sweep = 0; sweep < 60; sweep++) {
    let off = 0;
    let trace = 0;
    for (let p = 0; p < n; p++) {
      trace += Math.abs(a[p * n + p]!);
      for (let q = p + 1; q < n; q++) off += Math.abs(a[p * n + q]!);
    }
    if (off <= 1e-18 * trace) break;
    for (let p = 0; p < n; p++) {
      for (let q = p + 1; q < n; q++) {
        const apq = a[p * n + q]!;
        if (apq === 0) continue;
        const theta = (a[q * n + q]! - a[p * n + p]!) / (2 * apq);
        const t = Math.sign(theta || 1) / (Math.abs(theta) + Math.hypot(theta, 1));
        const c = 1 / Math.hypot(t, 1);
        const s = t * c;
        for (let k = 0; k < n; k++) {
          const akp = a[k * n + p]!;
          const akq = a[k * n + q]!;
          a[k * n + p] = c * akp - s * akq;
          a[k * n + q] = s * akp + c * akq;
        }
        for (let k = 0; k < n; k++) {
          const apk = a[p * n + k]!;
          const aqk = a[q * n + k]!;
          a[p * n + k] = c * apk - s * aqk;
          a[q * n + k] = s * apk + c * aqk;
        }
        for (let k = 0; k < n; k++) {
          const vkp = v[k * n + p]!;
          const vkq = v[k * n + q]!;
          v[k * n + p] = c * vkp - s * vkq;
          v[k * n + q] = s * vkp + c * vkq;
        }
      }
    }
  }
  let least = 0;
  for (let i = 1; i < n; i++) if (a[i * n + i]! < a[least * n + least]!) least = i;
  return Float64Array.from({ length: n }, (_, k) => v[k * n + least]!);
}

/** Solution of a symmetric system by elimination with pivots; null when it has none. */
export function solveSymmetric(matrix: Float64Array, right: Float64Array): Float64Array | null {
  const n = right.length;
  const a = Float64Array.from(matrix);
  const b = Float64Array.from(right);
  // Rows scaled by the diagonal: unknowns of very different size (1 and 1e-6) stay comparable.
  const scale = Float64Array.from({ length: n }, (_, i) => 1 / Math.sqrt(a[i * n + i]! || 1));
  for (let i = 0; i < n; i++) {
    b[i]! *= scale[i]!;
    for (let j = 0; j < n; j++) a[i * n + j]! *= scale[i]! * scale[j]!;
  }
  for (let column = 0; column < n; column++) {
    let pivot = column;
    for (let row = column + 1; row < n; row++) {
      if (Math.abs(a[row * n + column]!) > Math.abs(a[pivot * n + column]!)) pivot = row;
    }
    if (!(Math.abs(a[pivot * n + column]!) > 1e-14)) return null;
    if (pivot !== column) {
      for (let j = 0; j < n; j++) {
        [a[pivot * n + j], a[column * n + j]] = [a[column * n + j]!, a[pivot * n + j]!];
      }
      [b[pivot], b[column]] = [b[column]!, b[pivot]!];
    }
    for (let row = column + 1; row < n; row++) {
      const factor = a[row * n + column]! / a[column * n + column]!;
      for (let j = column; j < n; j++) a[row * n + j]! -= factor * a[column * n + j]!;
      b[row]! -= factor * b[column]!;
    }
  }
  const x = new Float64Array(n);
  for (let row = n - 1; row >= 0; row--) {
    let sum = b[row]!;
    for (let j = row + 1; j < n; j++) sum -= a[row * n + j]! * x[j]!;
    x[row] = sum / a[row * n + row]!;
  }
  return x.map((value, i) => value * scale[i]!);
}
