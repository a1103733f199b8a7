import { describe, expect, it } from '@jest/globals';
import { type Draft, draftOf, pointOf } from './draft.js';
import { normals, type SettleOptions, settle, type Through } from './settle.js';

/** Leads of 1, 2, 3 and many points and a ring, meeting at nodes. */
function someDraft(): Draft {
  const nodes = [0, 0, 40, 0, 40, 2, 40, 5, 60, 30, 0, 40];
  const line = (from: number, to: number, bend: number) => {
    const [x0, y0, x1, y1] = [
      nodes[2 * from]!,
      nodes[2 * from + 1]!,
      nodes[2 * to]!,
      nodes[2 * to + 1]!,
    ];
    const mx = (x0 + x1) / 2 + bend;
    return {
      from,
      to,
      line: Float64Array.from([x0, y0, mx, (y0 + y1) / 2, x1, y1]),
      left: 1,
      right: 2,
      faceWidthMm: 5,
    };
  };
  return draftOf(nodes, [
    line(0, 1, 0),
    line(1, 2, 0),
    line(2, 3, 0.5),
    line(3, 4, 3),
    line(4, 5, 2),
    line(5, 0, 1),
    line(4, 4, 9),
  ]);
}

const OPTIONS: SettleOptions = { stiffness: 200, cornerMm: 0.12, rounds: 1, alongWeight: 0.05 };
const ANCHOR = 1e-4;

describe('settle', () => {
  it('leaves every point where the energy of its docstring is least', () => {
    const draft = someDraft();
    const start = draft.xy.slice();
    const { nx, ny } = normals(draft);
    const n = start.length / 2;
    // fixed, without a pattern along the leads
    const offsetMm = Float64Array.from({ length: n }, (_, i) => Math.sin(7 * i) / 2);
    const weight = Float64Array.from({ length: n }, (_, i) =>
      i % 5 === 0 ? 0 : 0.5 + 0.5 * Math.cos(3 * i),
    );
    const [first, second] = [draft.leads[0]!, draft.leads[1]!];
    const through: Through[] = [{ node: 1, a: pointOf(first, first.count), b: pointOf(second, 1) }];
    settle(draft, { offsetMm, weight }, through, OPTIONS);

    const energy = (x: Float64Array): number => {
      let sum = 0;
      for (let i = 0; i < n; i++) {
        const dx = x[2 * i]! - start[2 * i]!;
        const dy = x[2 * i + 1]! - start[2 * i + 1]!;
        sum += ANCHOR * (dx * dx + dy * dy);
        sum +=
          weight[i]! *
          (nx[i]! === 0 && ny[i]! === 0 ? 0 : (nx[i]! * dx + ny[i]! * dy - offsetMm[i]!) ** 2);
        sum += OPTIONS.alongWeight! * (nx[i]! * dy - ny[i]! * dx) ** 2;
      }
      const bend = (a: number, m: number, b: number): void => {
        for (const c of [0, 1]) {
          sum += OPTIONS.stiffness * (x[2 * a + c]! - 2 * x[2 * m + c]! + x[2 * b + c]!) ** 2;
        }
      };
      for (const lead of draft.leads) {
        for (let k = 1; k <= lead.count; k++)
          bend(pointOf(lead, k - 1), pointOf(lead, k), pointOf(lead, k + 1));
      }
      for (const { a, node, b } of through) bend(a, node, b);
      return sum;
    };
    const h = 1e-3;
    const slope = (x: Float64Array, i: number): number => {
      const there = x.slice();
      const back = x.slice();
      there[i]! += h;
      back[i]! -= h;
      return (energy(there) - energy(back)) / (2 * h);
    };
    const steepest = (x: Float64Array): number =>
      Math.max(...Array.from(x, (_, i) => Math.abs(slope(x, i))));
    // the energy is of second degree, so the slopes are exact but for rounding
    expect(steepest(start)).toBeGreaterThan(0.3);
    expect(steepest(draft.xy)).toBeLessThan(1e-3);
  });
});
