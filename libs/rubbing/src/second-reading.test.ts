import { draftOf } from './draft.js';
import type { LeadEvidence } from './lead-evidence.js';
import { agreement } from './second-reading.js';
import { wallCells } from './wall-cells.js';

const SIDE = 80;

/** Two regions side by side at the middle, in the upper rows only; one region below. Two cells to the millimetre. */
function walls(rows: number): Uint8Array {
  const labels = Int32Array.from({ length: SIDE * SIDE }, (_, i) =>
    Math.floor(i / SIDE) < rows && i % SIDE >= SIDE / 2 ? 2 : 1,
  );
  return wallCells(labels, SIDE, SIDE);
}

function evidence(): LeadEvidence {
  const plane = { width: SIDE, height: SIDE, data: new Float32Array(SIDE * SIDE) };
  return { face: plane, centre: plane, outside: plane, cellsPerMm: 2, originMm: [10, 5] };
}

/** A lead straight down, so far from the middle of the regions. */
function leadAt(asideMm: number) {
  const x = 10 + SIDE / 4 + asideMm;
  const line = Float64Array.from([x, 5, x, 5 + SIDE / 2 - 1]);
  return draftOf(
    [x, 5, x, 5 + SIDE / 2 - 1],
    [{ from: 0, to: 1, line, left: 1, right: 2, faceWidthMm: 5 }],
  );
}

it('agrees with a lead along a wall of the second reading, to a millimetre and a half', () => {
  const [on] = agreement(leadAt(0), walls(SIDE), evidence());
  const [beside] = agreement(leadAt(1), walls(SIDE), evidence());
  const [away] = agreement(leadAt(4), walls(SIDE), evidence());
  expect([on, beside, away]).toEqual([1, 1, 0]);
});

it('agrees in part with a lead that the second reading has in part', () => {
  const [half] = agreement(leadAt(0), walls(SIDE / 2), evidence());
  expect(half).toBeGreaterThan(0.45);
  expect(half).toBeLessThan(0.6);
});
