import { describe, expect, it } from '@jest/globals';
import { contractShort, type Part } from './one-joint.js';

const part = (nodes: readonly number[], from: number, to: number, faceWidthMm: number): Part => {
  const [x0, y0, x1, y1] = [
    nodes[2 * from]!,
    nodes[2 * from + 1]!,
    nodes[2 * to]!,
    nodes[2 * to + 1]!,
  ];
  const points = Array.from({ length: 31 }, (_, k) => [
    x0 + ((x1 - x0) * k) / 30,
    y0 + ((y1 - y0) * k) / 30,
  ]);
  return { from, to, line: Float64Array.from(points.flat()), faceWidthMm };
};

/** A wide lead along y = 0, a branch up from its middle that forks after `stemMm`. */
function fork(stemMm: number, wideMm: number) {
  const nodes = [-40, 0, 0, 0, 40, 0, 0, stemMm, 0, 60, 18, 55];
  const pairs = [
    [0, 1, wideMm],
    [1, 2, wideMm],
    [1, 3, 5],
    [3, 4, 5],
    [3, 5, 5],
  ] as const;
  return { nodes, parts: pairs.map(([a, b, w]) => part(nodes, a, b, w)) };
}

describe('contractShort', () => {
  it('lets a fork part at the lead whose face hides where it parts', () => {
    const { nodes, parts } = fork(5, 10);
    const joined = contractShort(parts, nodes);
    expect(joined).toHaveLength(4);
    // the lead itself stays where it is
    expect(nodes.slice(2, 4)).toEqual([0, 0]);
    expect(joined.every(({ from, to }) => from === 1 || to === 1)).toBe(true);
  });

  it('keeps the stem of a fork that shows beside the face', () => {
    const { nodes, parts } = fork(9, 10);
    expect(contractShort(parts, nodes)).toHaveLength(5);
  });

  it('takes two leads that cross at a small angle for one joint, and two branches 5 mm apart for two', () => {
    const crossing = [-40, 14, 0, 0, 4.5, 0, 45, -14, -40, -2, 45, 3];
    const acute = (
      [
        [0, 1],
        [4, 1],
        [1, 2],
        [2, 3],
        [2, 5],
      ] as const
    ).map(([a, b]) => part(crossing, a, b, 5));
    expect(contractShort(acute, crossing)).toHaveLength(4);
    const square = [-40, 0, 0, 0, 5, 0, 45, 0, 0, 40, 5, -40];
    const branches = (
      [
        [0, 1],
        [1, 2],
        [2, 3],
        [1, 4],
        [2, 5],
      ] as const
    ).map(([a, b]) => part(square, a, b, 5));
    expect(contractShort(branches, square)).toHaveLength(5);
  });
});
