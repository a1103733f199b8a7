import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import { assign } from './assignment.js';

/** Every way to give each row (or, with more rows than columns, each column) one partner. */
function cheapest(cost: Float64Array, rows: number, columns: number): number {
  const transposed = rows > columns;
  const [n, m] = transposed ? [columns, rows] : [rows, columns];
  const at = (r: number, c: number): number =>
    transposed ? cost[c * columns + r]! : cost[r * columns + c]!;
  const visit = (r: number, used: Set<number>): number => {
    if (r === n) return 0;
    let best = Infinity;
    for (let c = 0; c < m; c++) {
      if (used.has(c)) continue;
      used.add(c);
      best = Math.min(best, at(r, c) + visit(r + 1, used));
      used.delete(c);
    }
    return best;
  };
  return visit(0, new Set());
}

describe('assign', () => {
  it('costs as little as the best of all assignments', () => {
    const size = fc.integer({ min: 1, max: 5 });
    fc.assert(
      fc.property(
        size,
        size,
        fc.array(fc.integer({ min: -20, max: 20 }), { minLength: 25, maxLength: 25 }),
        (rows, columns, values) => {
          const cost = Float64Array.from(values.slice(0, rows * columns));
          const columnOf = assign(cost, rows, columns);
          const taken = [...columnOf].filter((c) => c >= 0);
          expect(new Set(taken).size).toBe(taken.length);
          expect(taken).toHaveLength(Math.min(rows, columns));
          const total = [...columnOf].reduce(
            (s, c, r) => (c < 0 ? s : s + cost[r * columns + c]!),
            0,
          );
          expect(total).toBe(cheapest(cost, rows, columns));
        },
      ),
    );
  });
});
