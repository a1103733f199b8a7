import { buildable } from './buildable.js';
import { type DraftLead, draftOf } from './draft.js';

const line = (...xy: number[]): Float64Array => Float64Array.from(xy);

/** A square of 100 mm with two leads between the same two places; the bowed one dips through the straight one half way. */
const draft = draftOf(Float64Array.from([0, 0, 100, 0, 100, 50, 100, 100, 0, 100, 0, 50]), [
  { from: 0, to: 1, line: line(0, 0, 100, 0), left: 3, right: 1, faceWidthMm: 10 },
  { from: 1, to: 2, line: line(100, 0, 100, 50), left: 3, right: 1, faceWidthMm: 10 },
  { from: 2, to: 3, line: line(100, 50, 100, 100), left: 3, right: 2, faceWidthMm: 10 },
  { from: 3, to: 4, line: line(100, 100, 0, 100), left: 3, right: 2, faceWidthMm: 10 },
  { from: 4, to: 5, line: line(0, 100, 0, 50), left: 3, right: 2, faceWidthMm: 10 },
  { from: 5, to: 0, line: line(0, 50, 0, 0), left: 3, right: 1, faceWidthMm: 10 },
  { from: 5, to: 2, line: line(0, 50, 100, 50), left: 4, right: 2, faceWidthMm: 5 },
  {
    from: 5,
    to: 2,
    line: line(0, 50, 20, 30, 50, 51, 80, 30, 100, 50),
    left: 1,
    right: 4,
    faceWidthMm: 6,
  },
]);

test('of two leads that meet without a joint the less certain one goes, and the place is named', () => {
  const certainty = ({ faceWidthMm }: DraftLead): number => (faceWidthMm === 6 ? 0.4 : 0.9);
  const { draft: built, placesMm } = buildable(draft, certainty);
  expect(built.leads.map(({ faceWidthMm }) => faceWidthMm)).toEqual([10, 10, 10, 10, 10, 10, 5]);
  expect(placesMm).toHaveLength(1);
  expect(Math.hypot(placesMm[0]![0] - 50, placesMm[0]![1] - 50)).toBeLessThan(4);
});

test('what can be built stays as it is', () => {
  const { draft: whole } = buildable(draft, ({ faceWidthMm }) => faceWidthMm);
  expect(buildable(whole, () => 1)).toEqual({ draft: whole, placesMm: [] });
});
