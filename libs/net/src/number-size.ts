/** Height of the figures of a number that fits the circle round its place; 2 to 12 mm. */
export function numberSizeMm(text: string, radiusMm: number): number {
  // A bold figure is 0.86 of its height wide: the half diagonal of the text's box must fit.
  const half = Math.hypot(0.43 * text.length, 0.5);
  return Math.min(12, Math.max(2, (0.9 * radiusMm) / half));
}
