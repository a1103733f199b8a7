import fc from 'fast-check';
import { buildNet } from '../build-net.js';
import { lozengeSketch } from '../lozenge-sketch.js';
import type { Net, XyMm } from '../net.js';
import { NetError } from '../net-error.js';
import { overlapsOf } from '../overlap.js';
import { pointAlongMm, polylineLengthMm } from '../ring.js';
import { addLead } from './add-lead.js';
import { eraseLeads, splitLead } from './cut.js';
import { type Drawing, openDrawing } from './drawing.js';
import { joinGap, likelyJoin, openEnds } from './gaps.js';
import { beginHistory, did, type History, redo, undo } from './history.js';
import { judgeDrawing } from './judge.js';
import { bendLead, moveJoints, slideJoint } from './move.js';
import { setLeads } from './set-leads.js';
import { snapper } from './snap.js';

const start: Net = buildNet(
  lozengeSketch({ columns: 2, rows: 2, widthMm: 60, heightMm: 80, faceWidthMm: 5, outerFaceMm: 9 }),
  { face: 'inside', layer: 'front', surface: 'plan', madeBy: { name: 'test', version: '1' } },
);

/** An act with numbers from 0 to 1 that choose what it is done to. */
interface Act {
  readonly what: 'move' | 'bend' | 'slide' | 'split' | 'erase' | 'add' | 'join' | 'set';
  readonly which: number;
  readonly a: number;
  readonly b: number;
}
const acts = fc.array(
  fc.record<Act>({
    what: fc.constantFrom('move', 'bend', 'slide', 'split', 'erase', 'add', 'join', 'set'),
    which: fc.double({ min: 0, max: 0.999, noNaN: true }),
    a: fc.double({ min: 0, max: 1, noNaN: true }),
    b: fc.double({ min: 0, max: 1, noNaN: true }),
  }),
  { minLength: 1, maxLength: 8 },
);

const pick = <T>(items: Iterable<T>, share: number): T => {
  const all = [...items];
  return all[Math.floor(share * all.length)]!;
};

function act(drawing: Drawing, { what, which, a, b }: Act): Drawing {
  const leadId = pick(drawing.leads.keys(), which);
  const jointId = pick(drawing.joints.keys(), which);
  const [x, y] = drawing.joints.get(jointId)!;
  const place: XyMm = [120 * a, 160 * b];
  switch (what) {
    case 'move':
      return moveJoints(drawing, [jointId], [10 * (a - 0.5), 10 * (b - 0.5)]);
    case 'bend':
      return bend(drawing, leadId, a, b);
    case 'slide':
      return slideJoint(drawing, jointId, [x + 10 * a, y + 10 * b]) ?? drawing;
    case 'split':
      return splitLead(drawing, leadId, 40 * a).drawing;
    case 'erase':
      return eraseLeads(drawing, [leadId]);
    case 'add': {
      const { snap } = snapper(drawing);
      return addLead(drawing, snap([x, y], 5), snap(place, 12), [], {
        kind: b > 0.5 ? 'mending' : 'came',
        faceWidthMm: 4,
      }).drawing;
    }
    case 'join': {
      const end = openEnds(drawing)[0];
      const target = end && likelyJoin(drawing, end.jointId);
      return end && target ? joinGap(drawing, end.jointId, target) : drawing;
    }
    case 'set':
      return setLeads(drawing, [leadId], { faceWidthMm: 3 + 6 * a, profile: 'H 5' });
  }
}

function bend(drawing: Drawing, leadId: string, a: number, b: number): Drawing {
  const { lineMm } = drawing.leads.get(leadId)!;
  const alongMm = polylineLengthMm(lineMm) * (0.2 + 0.6 * a);
  const [x, y] = pointAlongMm(lineMm, alongMm);
  return bendLead(drawing, leadId, alongMm, [x + 6 * (b - 0.5), y + 6 * (a - 0.5)]);
}

/** Does the acts; those that are refused are left out, and are refused by a sentence. */
function doAll(drawing: Drawing, list: readonly Act[]): History<Drawing> {
  let history = beginHistory(drawing);
  for (const one of list) {
    try {
      history = did(history, one.what, act(history.present, one));
    } catch (error) {
      if (!(error instanceof NetError)) throw error;
      expect(error.message.length).toBeGreaterThan(10);
    }
    if (history.present.leads.size === 0) break;
  }
  return history;
}

/** What any state of a drawing must be, net or not. */
function expectWhole({ joints, leads, places }: Drawing): void {
  const used = new Set<string>();
  for (const lead of leads.values()) {
    used.add(lead.from).add(lead.to);
    expect(lead.lineMm[0]).toEqual(joints.get(lead.from));
    expect(lead.lineMm.at(-1)).toEqual(joints.get(lead.to));
    expect(lead.lineMm.length).toBeGreaterThanOrEqual(2);
  }
  expect(new Set(joints.keys())).toEqual(used);
  for (const { leadId } of places.values()) expect(leadId === null || leads.has(leadId)).toBe(true);
}

describe('any row of acts', () => {
  it('undone is as if it had not been, and redone is there again', () => {
    fc.assert(
      fc.property(acts, (list) => {
        const drawing = openDrawing(start);
        const before = structuredClone(drawing);
        const done = doAll(drawing, list);
        let back = done;
        while (back.past.length > 0) back = undo(back);
        expect(back.present).toBe(drawing);
        // Nothing that was shared has been written to.
        expect(back.present).toEqual(before);
        let again = back;
        while (again.future.length > 0) again = redo(again);
        expect(again).toEqual(done);
      }),
      { numRuns: 40 },
    );
  });

  it('leaves joints and leads that fit each other', () => {
    fc.assert(
      fc.property(acts, (list) => {
        expectWhole(doAll(openDrawing(start), list).present);
      }),
      { numRuns: 50 },
    );
  });

  it('is a plane net, or is refused with a sentence and a place', () => {
    let nets = 0;
    fc.assert(
      fc.property(acts, (list) => {
        const { net, troubles } = judgeDrawing(doAll(openDrawing(start), list).present, start);
        if (net === null) {
          expect(troubles[0]!.sentence).toMatch(/\.$/);
          if (troubles[0]!.fault !== 'no-piece') expect(troubles[0]!.xyMm).not.toBeNull();
          return;
        }
        nets++;
        const bounding = net.leads.filter(({ kind }) => kind !== 'strap');
        // Euler: V - E + F = 1 + C, counted here from the ids, with the outside as one face.
        expect(net.joints.length - bounding.length + net.pieces.length + 1).toBe(1 + parts(net));
        // The same area is tiled: by the shoelace of the pieces against that of their union's edge.
        const sum = net.pieces.reduce((all, piece) => all + piece.areaMm2, 0);
        expect(Math.abs(sum - edgeAreaMm2(net)) / sum).toBeLessThan(1e-5);
      }),
      { numRuns: 40 },
    );
    expect(nets).toBeGreaterThan(8);
  }, 120_000);

  it('keeps the numbers of pieces that it did not touch', () => {
    fc.assert(
      fc.property(acts, (list) => {
        const { net } = judgeDrawing(doAll(openDrawing(start), list).present, start);
        if (net === null) return;
        for (const { before, after, iou } of overlapsOf(start.pieces, net.pieces)) {
          if (iou > 0.999) {
            expect(net.pieces[after]!.pieceId).toBe(start.pieces[before]!.pieceId);
          }
        }
      }),
      { numRuns: 20 },
    );
  }, 120_000);
});

/** Connected parts of a net's joints, by walking its leads. */
function parts(net: Net): number {
  const next = new Map<string, string[]>();
  for (const { fromJointId, toJointId } of net.leads) {
    next.set(fromJointId, [...(next.get(fromJointId) ?? []), toJointId]);
    next.set(toJointId, [...(next.get(toJointId) ?? []), fromJointId]);
  }
  const seen = new Set<string>();
  let count = 0;
  for (const { jointId } of net.joints) {
    if (seen.has(jointId)) continue;
    count++;
    const open = [jointId];
    for (let at = open.pop(); at !== undefined; at = open.pop()) {
      if (seen.has(at)) continue;
      seen.add(at);
      open.push(...(next.get(at) ?? []));
    }
  }
  return count;
}

/** Area inside the leads that have the outside on one hand, each line taken with the glass on the same side. */
function edgeAreaMm2(net: Net): number {
  let twice = 0;
  for (const { lineMm, leftPieceId, rightPieceId } of net.leads) {
    if ((leftPieceId === null) === (rightPieceId === null)) continue;
    const line = leftPieceId === null ? lineMm : lineMm.toReversed();
    for (let i = 1; i < line.length; i++) {
      const [ax, ay] = line[i - 1]!;
      const [bx, by] = line[i]!;
      twice += ax * by - ay * bx;
    }
  }
  return Math.abs(twice) / 2;
}
