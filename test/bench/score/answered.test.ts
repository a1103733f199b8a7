import { readFileSync } from 'node:fs';
import { describe, expect, it } from '@jest/globals';
import { answered } from './answered.js';
import { DAMAGES } from './damaged-results.js';
import type { RubbingResult, RubbingTruth } from './rubbing-result.js';
import { scoreRubbing } from './score-rubbing.js';

const truth = JSON.parse(
  readFileSync(new URL('../../../fixtures/rubbings/medium/truth.json', import.meta.url), 'utf8'),
) as RubbingTruth;
const perfect = (): RubbingResult => structuredClone(DAMAGES['exact']!(truth).result);

/** One inner lead lost: the two pieces beside it become one. */
function lostLead(): { result: RubbingResult; place: [number, number]; sides: number[] } {
  const result = perfect();
  const at = truth.leads.findIndex(
    (e) => (e.left ?? -1) >= 0 && (e.right ?? -1) >= 0 && e.length_mm > 40,
  );
  const lost = truth.leads[at]!;
  result.leads!.splice(at, 1);
  const sides = [lost.left!, lost.right!];
  const rings = truth.pieces.filter((p) => sides.includes(p.id)).map((p) => p.polygon);
  result.pieces = result.pieces!.filter((p) => !sides.includes(p.id as number));
  // The larger of the two rings stands for both together: neither piece is found by it and the other.
  result.pieces.push({ id: 'both', polygon: [...rings[0]!, ...rings[1]!] });
  result.adjacency = truth.adjacency
    .map(({ a, b }): [number | string, number | string] => [
      sides.includes(a) ? 'both' : a,
      sides.includes(b) ? 'both' : b,
    ])
    .filter(([a, b]) => a !== b);
  return { result, place: lost.line[Math.floor(lost.line.length / 2)]!, sides };
}

describe('answered', () => {
  it('leaves the truth as it is', () => {
    const score = scoreRubbing(truth, answered(truth, perfect()));
    expect(score).toMatchObject({ piece_recall: 1, piece_precision: 1, adjacency_f1: 1 });
  });

  it('mends a lost lead that the list names', () => {
    const { result, place } = lostLead();
    const before = scoreRubbing(truth, result);
    expect(before.piece_recall).toBeLessThan(1);
    const listed = { ...result, doubtful_places: [{ xy: place, radius_mm: 3, lead: null }] };
    const after = scoreRubbing(truth, answered(truth, listed));
    expect(after).toMatchObject({ piece_recall: 1, piece_precision: 1, adjacency_f1: 1 });
    expect(after.lead_recall).toBe(1);
  });

  it('mends nothing that the list does not name', () => {
    const { result } = lostLead();
    const before = scoreRubbing(truth, result);
    const after = scoreRubbing(truth, answered(truth, result));
    expect(after.piece_recall).toBe(before.piece_recall);
    expect(after.adjacency_f1).toBe(before.adjacency_f1);
    expect(after.lead_recall).toBe(before.lead_recall);
  });
});
