/** Height of a number that fits the circle round its place; 2 to 12 mm. */
export function numberSizeMm(text: string, radiusMm: number): number {
  // A digit is about 0.6 of its height wide: the half diagonal of the text's box must fit.
  const half = Math.hypot(0.3 * text.length, 0.4);
  return Math.min(12, Math.max(2, (0.8 * radiusMm) / half));
}
