import { readFileSync } from 'node:fs';
import { describe, expect, it } from '@jest/globals';
import { DAMAGES } from './damaged-results.js';
import { IDENTITY } from './rigid-align.js';
import type { RubbingResult, RubbingTruth } from './rubbing-result.js';
import { scoreDoubts } from './score-doubts.js';

const truth = JSON.parse(
  readFileSync(new URL('../../../fixtures/rubbings/medium/truth.json', import.meta.url), 'utf8'),
) as RubbingTruth;
const perfect = (): RubbingResult => structuredClone(DAMAGES['exact']!(truth).result);

describe('scoreDoubts', () => {
  it('finds nothing wrong with the truth', () => {
    expect(scoreDoubts(truth, perfect(), IDENTITY)).toMatchObject({
      wrong: 0,
      missing: 0,
      listed: 0,
    });
  });

  it('counts a lost lead, and covers it by a doubtful place on it', () => {
    const result = perfect();
    // a lead far from others along most of its length
    const [lost] = result.leads!.splice(60, 1);
    expect(scoreDoubts(truth, result, IDENTITY)).toMatchObject({
      wrong: 0,
      missing: 1,
      covered: 0,
    });
    const middle = lost!.line[Math.floor(lost!.line.length / 2)]!;
    const listed = { ...result, doubtful_places: [{ xy: middle, radius_mm: 3, lead: null }] };
    expect(scoreDoubts(truth, listed, IDENTITY)).toMatchObject({
      missing: 1,
      covered: 1,
      listed: 1,
    });
  });

  it('covers an invented lead only when that lead is doubtful, and bins it by confidence', () => {
    const result = perfect();
    result.leads!.push({
      line: [
        [120, 160],
        [170, 210],
      ],
      width_mm: 5,
      confidence: 0.6,
      id: 'L999',
    });
    const silent = scoreDoubts(truth, result, IDENTITY);
    expect(silent).toMatchObject({ wrong: 1, covered: 0 });
    expect(silent.bins.find((b) => b.from === 0.5)).toEqual({ from: 0.5, leads: 1, right: 0 });
    result.leads!.at(-1)!.doubts = ['weak-wax'];
    expect(scoreDoubts(truth, result, IDENTITY)).toMatchObject({ wrong: 1, covered: 1, listed: 1 });
  });

  it('counts a wrong piece whose leads are right once, and covers it by a doubt within reach', () => {
    const result = perfect();
    const piece = truth.pieces.find((p) => !p.optional)!;
    const at = result.pieces!.findIndex((p) => p.id === piece.id);
    const [a, b, c] = [0, 1, 2].map(
      (k) => piece.polygon[Math.floor((k * piece.polygon.length) / 3)]!,
    );
    result.pieces![at] = { id: piece.id, polygon: [a!, b!, c!, a!] };
    expect(scoreDoubts(truth, result, IDENTITY)).toMatchObject({
      wrong: 0,
      missing: 0,
      pieces: 1,
      covered: 0,
    });
    const listed = { ...result, doubtful_places: [{ xy: a!, radius_mm: 3, lead: null }] };
    expect(scoreDoubts(truth, listed, IDENTITY)).toMatchObject({ pieces: 1, covered: 1 });
  });

  it('holds the pieces beside a lost lead to be the fault of that lead', () => {
    const result = perfect();
    const lost = truth.leads[60]!;
    result.leads!.splice(60, 1);
    const sides = [lost.left, lost.right];
    result.pieces = result.pieces!.filter((p) => !sides.includes(p.id as number));
    expect(scoreDoubts(truth, result, IDENTITY)).toMatchObject({ missing: 1, pieces: 0 });
  });

  it('takes a place on a lead that left no wax for neither a fault nor a false alarm', () => {
    const result = perfect();
    const [lost] = result.leads!.splice(60, 1);
    const middle = lost!.line[Math.floor(lost!.line.length / 2)]!;
    const bare = structuredClone(truth);
    bare.leads[60]!.seen = bare.leads[60]!.seen!.map(() => 0);
    const listed = { ...result, doubtful_places: [{ xy: middle, radius_mm: 3, lead: null }] };
    expect(scoreDoubts(bare, listed, IDENTITY)).toMatchObject({ missing: 0, listed: 1, unseen: 1 });
  });
});
