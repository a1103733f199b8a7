/** How much longer a length grows when it gets warmer: `ΔL = α L ΔT`, mm. */
export function growthMm(growthPerMK: number, lengthMm: number, warmerK: number): number {
  return growthPerMK * 1e-6 * lengthMm * warmerK;
}
