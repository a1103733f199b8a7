/** Places for the demo's findings inside a piece, whatever shape the rubbing gave it. */

type Xy = readonly [number, number];

/** @param ringMm closed ring, flat x0,y0,…; the closing edge is implied */
export function pointsOf(ringMm: readonly number[]): Xy[] {
  const points: Xy[] = [];
  for (let i = 0; i + 1 < ringMm.length; i += 2) points.push([ringMm[i]!, ringMm[i + 1]!]);
  return points;
}

/**
 * The longest span of a level line inside the ring, drawn in by a tenth at both ends.
 * @param heightRatio 0 at the top of the ring, 1 at its bottom
 */
export function levelSpan(ringMm: readonly number[], heightRatio: number): [Xy, Xy] {
  const ring = pointsOf(ringMm);
  const ys = ring.map(([, y]) => y);
  const top = Math.min(...ys);
  const y = top + (Math.max(...ys) - top) * heightRatio;
  const crossings = ring
    .flatMap(([ax, ay], i) => {
      const [bx, by] = ring[(i + 1) % ring.length]!;
      return ay > y === by > y ? [] : [ax + ((bx - ax) * (y - ay)) / (by - ay)];
    })
    .sort((a, b) => a - b);
  let best: [number, number] = [0, 0];
  for (let i = 0; i + 1 < crossings.length; i += 2) {
    const span: [number, number] = [crossings[i]!, crossings[i + 1]!];
    if (span[1] - span[0] > best[1] - best[0]) best = span;
  }
  const inset = (best[1] - best[0]) / 10;
  return [
    [best[0] + inset, y],
    [best[1] - inset, y],
  ];
}

/** A crack that wanders a little along {@link levelSpan}. */
export function crackLine(ringMm: readonly number[]): Xy[] {
  const [[fromX, y], [toX]] = levelSpan(ringMm, 0.5);
  const sways = [0, 0.6, -0.5, 0.9, -0.2, 0.4, 0];
  return sways.map((sway, i) => [fromX + ((toX - fromX) * i) / (sways.length - 1), y + sway]);
}

/** An uneven patch in the middle of {@link levelSpan}, a third of it wide. */
export function lossPatch(ringMm: readonly number[]): Xy[] {
  const [[fromX, y], [toX]] = levelSpan(ringMm, 0.45);
  const radiusMm = Math.min(9, (toX - fromX) / 6);
  const reach = [1, 0.8, 0.95, 0.7, 1, 0.75, 0.9, 0.85];
  return reach.map((r, i) => {
    const angleRad = (2 * Math.PI * i) / reach.length;
    return [
      (fromX + toX) / 2 + radiusMm * r * Math.cos(angleRad),
      y + 0.6 * radiusMm * r * Math.sin(angleRad),
    ];
  });
}
