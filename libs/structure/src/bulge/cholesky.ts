/** Symmetric positive matrices with a narrow band: factor, solve. */

/** Lower band, row by row: `band[i * (width + 1) + width - (i - j)]` is the member (i, j), i − width ≤ j ≤ i. */
export interface BandMatrix {
  readonly n: number;
  readonly width: number;
  readonly band: Float64Array;
}

export function emptyBand(n: number, width: number): BandMatrix {
  return { n, width, band: new Float64Array(n * (width + 1)) };
}

/** Adds to the member (i, j) and so to (j, i). Call it for one of the two. */
export function addTo({ width, band }: BandMatrix, i: number, j: number, value: number): void {
  const [row, column] = i >= j ? [i, j] : [j, i];
  band[row * (width + 1) + width - (row - column)]! += value;
}

/**
 * A = L Lᵀ, O(n · width²). Source: Cholesky, as in any book of numerics.
 *
 * @returns undefined where the matrix is not positive
 */
export function factored({ n, width, band }: BandMatrix): BandMatrix | undefined {
  const stride = width + 1;
  const lower = band.slice();
  for (let i = 0; i < n; i++) {
    const from = i > width ? i - width : 0;
    const row = i * stride + width - i;
    for (let j = from; j <= i; j++) {
      let sum = lower[row + j]!;
      const other = j * stride + width - j;
      for (let k = from; k < j; k++) sum -= lower[row + k]! * lower[other + k]!;
      if (j < i) lower[row + j] = sum / lower[j * stride + width]!;
      else if (sum > 0) lower[i * stride + width] = Math.sqrt(sum);
      else return undefined;
    }
  }
  return { n, width, band: lower };
}

/** Natural logarithm of the determinant of A, from its factor. */
export function logDeterminant({ n, width, band }: BandMatrix): number {
  let sum = 0;
  for (let i = 0; i < n; i++) sum += 2 * Math.log(band[i * (width + 1) + width]!);
  return sum;
}

/** L⁻¹ b: its length squared is bᵀ A⁻¹ b. */
export function forward({ n, width, band }: BandMatrix, b: Float64Array): Float64Array {
  const stride = width + 1;
  const y = b.slice();
  for (let i = 0; i < n; i++) {
    let sum = y[i]!;
    for (let j = Math.max(0, i - width); j < i; j++) {
      sum -= band[i * stride + width - (i - j)]! * y[j]!;
    }
    y[i] = sum / band[i * stride + width]!;
  }
  return y;
}

/** A⁻¹ b. */
export function solved(factor: BandMatrix, b: Float64Array): Float64Array {
  const { n, width, band } = factor;
  const stride = width + 1;
  const x = forward(factor, b);
  for (let i = n - 1; i >= 0; i--) {
    let sum = x[i]!;
    for (let j = i + 1; j <= Math.min(n - 1, i + width); j++) {
      sum -= band[j * stride + width - (j - i)]! * x[j]!;
    }
    x[i] = sum / band[i * stride + width]!;
  }
  return x;
}
