import { describe, expect, it } from '@jest/globals';
import { makePlane } from '#libs/raster';
import { draftOf } from './draft.js';
import { facingPlaces } from './facing-ends.js';
import type { LeadEvidence } from './lead-evidence.js';

const SIDE_MM = 100;

/** Two uprights 60 mm apart; a lead from the left ends at the first, one from the right at the second, at `rightMm`. */
function draftWithGap(rightMm: number) {
  const nodes = [20, 0, 20, 50, 20, 100, 80, 0, 80, rightMm, 80, 100, 0, 50, 100, rightMm];
  const pairs = [
    [0, 1],
    [1, 2],
    [3, 4],
    [4, 5],
    [6, 1],
    [4, 7],
  ] as const;
  return draftOf(
    nodes,
    pairs.map(([from, to]) => ({
      from,
      to,
      line: Float64Array.from([from, to].flatMap((k) => [nodes[2 * k]!, nodes[2 * k + 1]!])),
      left: 1,
      right: 2,
      faceWidthMm: 5,
    })),
  );
}

function evidenceAlong(yMm: number, strength: number): LeadEvidence {
  const centre = makePlane(2 * SIDE_MM, 2 * SIDE_MM);
  centre.data.fill(strength, 2 * yMm * centre.width, (2 * yMm + 1) * centre.width);
  const none = makePlane(2 * SIDE_MM, 2 * SIDE_MM);
  return { face: none, centre, outside: none, cellsPerMm: 2, originMm: [0, 0] };
}

describe('facingPlaces', () => {
  it('names the middle between two ends with a little evidence between them', () => {
    const [place, ...more] = facingPlaces(draftWithGap(50), evidenceAlong(50, 0.06));
    expect(more).toEqual([]);
    expect(place!.xyMm[0]).toBeCloseTo(50, 6);
    expect(place!.xyMm[1]).toBeCloseTo(50, 6);
    expect(place!.reason).toBe('may-be-missing');
  });

  it('says nothing without evidence, nor where the ends do not face each other', () => {
    expect(facingPlaces(draftWithGap(50), evidenceAlong(50, 0.004))).toEqual([]);
    expect(facingPlaces(draftWithGap(70), evidenceAlong(50, 0.06))).toEqual([]);
  });
});
