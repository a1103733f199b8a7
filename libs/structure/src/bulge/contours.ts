import { boundsMm, isInsideRing, type XyMm } from '#libs/net';

/** Cells along the longer side of the panel. */
const GRID = 96;

/** A line of one height, mm, within the panel. */
export interface Stretch {
  readonly level: number;
  readonly line: readonly XyMm[];
}

/** A height at every place within an outline, mm. */
export interface HeightField {
  readonly surface: { readonly outlineMm: readonly XyMm[] };
  heightMm(place: XyMm): number;
}

/** Lines of equal height, every `step` mm: marching squares, the pieces of each level joined to lines. */
export function contours(heights: HeightField, step: number): Stretch[] {
  const { outlineMm } = heights.surface;
  const box = boundsMm(outlineMm);
  const cell = Math.max(box.maxX - box.minX, box.maxY - box.minY) / GRID;
  const columns = Math.ceil((box.maxX - box.minX) / cell);
  const rows = Math.ceil((box.maxY - box.minY) / cell);
  const at = (i: number, j: number): XyMm => [
    Math.min(box.maxX, box.minX + i * cell),
    Math.min(box.maxY, box.minY + j * cell),
  ];
  const grid = new Float64Array((columns + 1) * (rows + 1));
  let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (let j = 0; j <= rows; j++) {
    for (let i = 0; i <= columns; i++) {
      const value = heights.heightMm(at(i, j));
      grid[j * (columns + 1) + i] = value;
      low = Math.min(low, value);
      high = Math.max(high, value);
    }
  }
  const stretches: Stretch[] = [];
  for (let n = Math.ceil(low / step); n <= Math.floor(high / step); n++) {
    const level = n * step;
    const pieces: [XyMm, XyMm][] = [];
    for (let j = 0; j < rows; j++) {
      for (let i = 0; i < columns; i++) {
        const corners = [
          [i, j],
          [i + 1, j],
          [i + 1, j + 1],
          [i, j + 1],
        ] as const;
        const cuts = corners.flatMap(([ci, cj], k): XyMm[] => {
          const [ni, nj] = corners[(k + 1) % 4]!;
          const [a, b] = [grid[cj * (columns + 1) + ci]!, grid[nj * (columns + 1) + ni]!];
          if (a >= level === b >= level) return [];
          const share = (level - a) / (b - a);
          const [from, to] = [at(ci, cj), at(ni, nj)];
          return [[from[0] + share * (to[0] - from[0]), from[1] + share * (to[1] - from[1])]];
        });
        for (let k = 0; k + 1 < cuts.length; k += 2) pieces.push([cuts[k]!, cuts[k + 1]!]);
      }
    }
    const kept = pieces.filter(([a, b]) =>
      isInsideRing([(a[0] + b[0]) / 2, (a[1] + b[1]) / 2], outlineMm),
    );
    for (const line of joined(kept)) stretches.push({ level, line });
  }
  return stretches;
}

function joined(pieces: readonly (readonly [XyMm, XyMm])[]): XyMm[][] {
  const key = ([x, y]: XyMm) => `${x.toFixed(4)},${y.toFixed(4)}`;
  const at = new Map<string, number[]>();
  for (const [i, ends] of pieces.entries()) {
    for (const end of ends) at.set(key(end), [...(at.get(key(end)) ?? []), i]);
  }
  const used = new Set<number>();
  const lines: XyMm[][] = [];
  const grow = (line: XyMm[]) => {
    for (;;) {
      const end = line.at(-1)!;
      const next = at.get(key(end))?.find((i) => !used.has(i));
      if (next === undefined) return;
      used.add(next);
      const [a, b] = pieces[next]!;
      line.push(key(a) === key(end) ? b : a);
    }
  };
  for (const [i, [a, b]] of pieces.entries()) {
    if (used.has(i)) continue;
    used.add(i);
    const line = [a, b];
    grow(line);
    line.reverse();
    grow(line);
    lines.push(line);
  }
  return lines;
}
