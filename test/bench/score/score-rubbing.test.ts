import { readFileSync } from 'node:fs';
import { describe, expect, it } from '@jest/globals';
import { DAMAGES } from './damaged-results.js';
import type { RubbingScore, RubbingTruth } from './rubbing-result.js';
import { scoreRubbing } from './score-rubbing.js';

const fixture = (path: string): unknown =>
  JSON.parse(readFileSync(new URL(`../../../fixtures/rubbings/${path}`, import.meta.url), 'utf8'));

/** Written by the reference scorer (Python: numpy, scipy, shapely) that came with the sample cases. */
const reference = fixture('reference-scores.json') as {
  scores: { panel: string; damage: string; score: Record<string, number | null> }[];
};

describe('scoreRubbing', () => {
  it.each(reference.scores.map((row) => [`${row.panel}, ${row.damage}`, row] as const))(
    'agrees with the reference scorer: %s',
    (_, { panel, damage, score }) => {
      const { truth, result } = DAMAGES[damage]!(fixture(`${panel}/truth.json`) as RubbingTruth);
      const mine = scoreRubbing(truth, result);
      expect(Object.keys(score).length).toBeGreaterThan(8);
      for (const [name, value] of Object.entries(score)) {
        const ours = mine[name as keyof RubbingScore];
        if (value === null) expect([name, ours]).toEqual([name, undefined]);
        // The reference prints 4 decimals.
        else expect([name, Math.abs(ours! - value) < 1e-3]).toEqual([name, true]);
      }
    },
  );

  it('covers whole, damaged, free-frame and empty results of all three panels', () => {
    expect(reference.scores).toHaveLength(3 * Object.keys(DAMAGES).length);
  });

  it('gives full marks to the truth itself', () => {
    const truth = fixture('easy/truth.json') as RubbingTruth;
    const score = scoreRubbing(truth, DAMAGES['exact']!(truth).result);
    expect(score.piece_recall).toBe(1);
    expect(score.adjacency_f1).toBe(1);
    expect(score.lead_pos_p95).toBeCloseTo(0, 9);
  });
});
