import type { NetSketch, SketchLead, XyMm } from './net.js';

export interface LozengeGrid {
  /** Cells side by side and above each other; each cell holds one whole lozenge. */
  readonly columns: number;
  readonly rows: number;
  /** Diagonals of one lozenge, which are the sides of its cell. */
  readonly widthMm: number;
  readonly heightMm: number;
  readonly faceWidthMm: number;
  readonly outerFaceMm: number;
}

/**
 * A rectangle of lozenge quarries in a frame of outer came, by plane geometry; centre lines of the
 * frame run from (0, 0) to (columns × width, rows × height).
 */
export function lozengeSketch(grid: LozengeGrid): NetSketch {
  const { columns, rows, widthMm, heightMm, faceWidthMm, outerFaceMm } = grid;
  const nodes: XyMm[] = [];
  const place = new Map<string, number>();
  const leads: SketchLead[] = [];
  // Half steps of a cell: joints are the middles of cell edges, and the four corners.
  const node = (i: number, j: number): number => {
    const key = `${i},${j}`;
    const known = place.get(key);
    if (known !== undefined) return known;
    place.set(key, nodes.length);
    nodes.push([(i * widthMm) / 2, (j * heightMm) / 2]);
    return nodes.length - 1;
  };
  const lead = (from: number, to: number, isOuter: boolean) =>
    leads.push({
      from,
      to,
      kind: isOuter ? 'outer' : 'came',
      lineMm: [nodes[from]!, nodes[to]!],
      faceWidthMm: isOuter ? outerFaceMm : faceWidthMm,
      widthSpreadMm: 0,
      confidenceP: 1,
      doubts: [],
    });
  for (let c = 0; c < columns; c++) {
    for (let r = 0; r < rows; r++) {
      const top = node(2 * c + 1, 2 * r);
      const right = node(2 * c + 2, 2 * r + 1);
      const bottom = node(2 * c + 1, 2 * r + 2);
      const left = node(2 * c, 2 * r + 1);
      lead(top, right, false);
      lead(right, bottom, false);
      lead(bottom, left, false);
      lead(left, top, false);
    }
  }
  const width = 2 * columns;
  const height = 2 * rows;
  const edge: [number, number][] = [[0, 0]];
  for (let i = 1; i < width; i += 2) edge.push([i, 0]);
  edge.push([width, 0]);
  for (let j = 1; j < height; j += 2) edge.push([width, j]);
  edge.push([width, height]);
  for (let i = width - 1; i > 0; i -= 2) edge.push([i, height]);
  edge.push([0, height]);
  for (let j = height - 1; j > 0; j -= 2) edge.push([0, j]);
  edge.forEach(([i, j], k) => {
    const [nextI, nextJ] = edge[(k + 1) % edge.length]!;
    lead(node(i, j), node(nextI, nextJ), true);
  });
  return { nodes: nodes.map((xyMm) => ({ xyMm })), leads };
}
