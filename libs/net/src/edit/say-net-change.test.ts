import type { Net, XyMm } from '../net.js';
import { distanceMm } from '../ring.js';
import { eraseLeads, splitLead } from './cut.js';
import { type Drawing, openDrawing } from './drawing.js';
import { judgeDrawing } from './judge.js';
import { bendLead, moveJoints } from './move.js';
import { letterParts, numberPiece } from './piece-numbers.js';
import { builtAfter, leadAt, mended, quarries } from './quarries.fixture.js';
import { sayNetChange } from './say-net-change.js';
import { confirmLeads, leadsOfWidth, setLeads } from './set-leads.js';

const before = quarries;
const opened = openDrawing(before);
const lead = leadAt;
const piece = (net: Net, xyMm: XyMm) =>
  net.pieces.find(({ labelMm }) => distanceMm(labelMm, xyMm) < 25)!.pieceId;
const built = (drawing: Drawing): Net => builtAfter(drawing, before);
const after = (drawing: Drawing) => sayNetChange(before, built(drawing));

describe('the sentence of a change', () => {
  it('says that nothing changed', () => {
    expect(after(opened).sentence).toBe('nothing changed');
  });

  it('counts what moved and rounds up', () => {
    const one = lead(opened, [125, 30]);
    const bent = bendLead(opened, one.leadId, one.alongMm, outwards(one.xyMm, 0.75));
    const change = after(bent);
    expect(change.sentence).toBe('1 lead moved ≤ 0.8 mm');
    expect(change.moved[0]!.maxMm).toBeCloseTo(0.75, 2);
    expect(distanceMm(change.moved[0]!.atMm, one.xyMm)).toBeLessThan(2);
  });

  it('says moves and a mending lead in one', () => {
    const bent = (
      [
        [125, 30],
        [225, 30],
      ] as const
    ).reduce<Drawing>((drawing, place) => {
      const one = lead(drawing, place);
      return bendLead(drawing, one.leadId, one.alongMm, outwards(one.xyMm, 0.78));
    }, opened);
    const in_ = piece(before, [150, 180]);
    expect(after(mended(bent, [150, 180])).sentence).toBe(
      `2 leads moved ≤ 0.8 mm, 1 mending lead added in ${in_}`,
    );
  });

  it('counts the four leads of a joint, and the way that its farthest end went', () => {
    const joint = [...opened.joints].find(([, p]) => distanceMm(p, [100, 180]) < 0.01)![0];
    const change = after(moveJoints(opened, [joint], [2, 0]));
    expect(change.sentence).toBe('4 leads moved ≤ 2.0 mm');
    expect(change.added).toEqual([]);
  });

  it('finds a lead again that went farther than its neighbours are', () => {
    const joint = [...opened.joints].find(([, p]) => distanceMm(p, [100, 180]) < 0.01)![0];
    expect(after(moveJoints(opened, [joint], [7, 0])).sentence).toBe('4 leads moved ≤ 7.0 mm');
  });

  it('names the pieces on both sides of what was erased', () => {
    const one = lead(opened, [125, 150]);
    const was = before.leads.find(({ leadId }) => leadId === one.leadId)!;
    const change = after(eraseLeads(opened, [one.leadId]));
    const sides = [was.leftPieceId!, was.rightPieceId!];
    expect(change.sentence).toBe(`1 lead erased at ${sides.join(' and ')}`);
    expect(change.erased[0]!.lengthMm).toBeCloseTo(Math.hypot(50, 60), 2);
  });

  it('takes a lead that was only cut for the same', () => {
    const one = lead(opened, [125, 150]);
    expect(after(splitLead(opened, one.leadId, 30).drawing).sentence).toBe('nothing changed');
  });

  it('says widths, kinds, profiles', () => {
    const ids = leadsOfWidth(opened, lead(opened, [25, 30]).leadId);
    expect(after(setLeads(opened, ids, { profile: 'H 6 round' })).sentence).toBe(
      'profile H 6 round on 36 leads',
    );
    const two = ids.slice(0, 2);
    expect(after(setLeads(opened, two, { faceWidthMm: 8 })).sentence).toBe(
      '2 leads of another width',
    );
    expect(after(setLeads(opened, two, { kind: 'mending' })).sentence).toBe(
      '2 leads called mending leads',
    );
    expect(after(setLeads(opened, two.slice(1), { kind: 'outer' })).sentence).toBe(
      '1 lead called an outer lead',
    );
  });

  it('says new numbers, and letters', () => {
    const one = piece(before, [150, 180]);
    const renamed = numberPiece(opened, before, one, { number: 99, part: null });
    expect(after(renamed).sentence).toBe(`${one} is 99`);
    const cut = mended(opened, [150, 180]);
    const net = built(cut);
    const halves = net.pieces
      .filter(({ labelMm }) => distanceMm(labelMm, [150, 180]) < 30)
      .map(({ pieceId }) => pieceId);
    expect(halves).toHaveLength(2);
    const change = after(letterParts(cut, net, Number(one), halves));
    expect(change.sentence).toBe(`1 mending lead added in ${one}, ${one} is ${one}a and ${one}b`);
  });

  it('counts answered doubts', () => {
    const doubtful: Net = {
      ...before,
      leads: before.leads.map((one, i) => (i < 3 ? { ...one, doubts: ['weak-wax'] } : one)),
      doubtfulPlaces: [
        { xyMm: [150, 180], radiusMm: 9, reason: 'may-be-missing', leadId: null },
        { xyMm: [1, 1], radiusMm: 9, reason: 'weak-wax', leadId: before.leads[0]!.leadId },
      ],
    };
    const drawing = openDrawing(doubtful);
    const answered = confirmLeads(
      drawing,
      doubtful.leads.slice(0, 2).map((one) => one.leadId),
    );
    const { net } = judgeDrawing(answered, doubtful);
    expect(sayNetChange(doubtful, net!).sentence).toBe('2 doubts answered');
  });

  it('refuses to compare two faces', () => {
    expect(() => sayNetChange(before, { ...before, face: 'outside' })).toThrow(/different sides/);
  });
});

/** A place that much beside a lead that rises from left to right at 50 : 60. */
function outwards([x, y]: XyMm, byMm: number): XyMm {
  const length = Math.hypot(50, 60);
  return [x + (60 / length) * byMm, y + (50 / length) * byMm];
}
