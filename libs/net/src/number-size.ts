/** Width of a bold figure over its height. */
export const FIGURE_RATIO = 0.86;

/** Height of the figures at which the corners of the number's box lie within the circle round its place. */
export function roomForNumberMm(text: string, radiusMm: number): number {
  const half = Math.hypot((FIGURE_RATIO / 2) * text.length, 0.5);
  return (0.9 * radiusMm) / half;
}

/** Height of the figures of a number that fits the circle round its place; 2 to 12 mm. */
export const numberSizeMm = (text: string, radiusMm: number): number =>
  Math.min(12, Math.max(2, roomForNumberMm(text, radiusMm)));
