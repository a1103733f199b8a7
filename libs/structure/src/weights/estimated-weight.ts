/** Weight of a panel that has no lead drawing yet: from its area, with a range. */

export interface EstimatedWeight {
  readonly kg: number;
  readonly lowKg: number;
  readonly highKg: number;
  readonly from: string;
}

/** Leaded glass of 3 mm, kg/m². Common practice, no source. */
const USUAL = { usedKgM2: 11, lowKgM2: 8, highKgM2: 16 };

/**
 * @param drawnKgM2 of panels of the same window that are drawn: their median counts, their spread is
 *   the range. Fewer than three say too little.
 */
export function estimatedWeight(
  areaMm2: number,
  drawnKgM2: readonly number[] = [],
): EstimatedWeight {
  const areaM2 = areaMm2 / 1e6;
  const sorted = [...drawnKgM2].sort((a, b) => a - b);
  if (sorted.length < 3) {
    return {
      kg: areaM2 * USUAL.usedKgM2,
      lowKg: areaM2 * USUAL.lowKgM2,
      highKg: areaM2 * USUAL.highKgM2,
      from: `estimate: ${USUAL.usedKgM2} kg/m², from ${USUAL.lowKgM2} to ${USUAL.highKgM2} (common practice, no source)`,
    };
  }
  const middle = sorted.length >> 1;
  const median =
    sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
  return {
    kg: areaM2 * median,
    lowKg: areaM2 * sorted[0]!,
    highKg: areaM2 * sorted.at(-1)!,
    from: `estimate: ${median.toFixed(1)} kg/m², the middle of ${sorted.length} drawn panels of this window`,
  };
}
