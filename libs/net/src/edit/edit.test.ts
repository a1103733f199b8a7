import { buildNet } from '../build-net.js';
import type { Net, NetSketch, XyMm } from '../net.js';
import { NetError } from '../net-error.js';
import { distanceMm, polylineLengthMm } from '../ring.js';
import { addLead, type Target } from './add-lead.js';
import { eraseLeads, healJoint, leadNear, splitLead } from './cut.js';
import { type Drawing, endsAt, openDrawing } from './drawing.js';
import { joinGap, likelyJoin, openEnds } from './gaps.js';
import { judgeDrawing } from './judge.js';
import { isStraight, nearestOnLine, sagMm } from './lead-shape.js';
import { bendLead, moveJoints, slideJoint, straightenLeads, weldToLead } from './move.js';
import { markOuter } from './outline.js';
import { letterParts, numberPiece } from './piece-numbers.js';
import { quarries } from './quarries.fixture.js';
import { questionsOf } from './review.js';
import { confirmLeads, leadsOfWidth, setLeads } from './set-leads.js';
import { snapper } from './snap.js';

function build(sketch: NetSketch): Net {
  return buildNet(sketch, {
    face: 'inside',
    layer: 'front',
    surface: 'plan',
    madeBy: { name: 'test', version: '1' },
  });
}

/** Two panes: a frame of 200 × 100 with one upright lead in the middle; corners clockwise from top left. */
function panes(): Net {
  const nodes: XyMm[] = [
    [0, 0],
    [100, 0],
    [200, 0],
    [200, 100],
    [100, 100],
    [0, 100],
  ];
  const lead = (from: number, to: number, kind: 'outer' | 'came') => ({
    from,
    to,
    kind,
    lineMm: [nodes[from]!, nodes[to]!],
    faceWidthMm: kind === 'outer' ? 10 : 6,
    widthSpreadMm: 0.2,
    confidenceP: 0.9,
    doubts: [],
  });
  return build({
    nodes: nodes.map((xyMm) => ({ xyMm })),
    leads: [...nodes.map((_, i) => lead(i, (i + 1) % nodes.length, 'outer')), lead(1, 4, 'came')],
  });
}

const at = (drawing: Drawing, xyMm: XyMm) => leadNear(drawing, xyMm, 5)!;
const jointAt = (drawing: Drawing, [x, y]: XyMm) =>
  [...drawing.joints].find(([, place]) => distanceMm(place, [x, y]) < 0.01)![0];
const onLead = (drawing: Drawing, xyMm: XyMm): Target => ({ on: 'lead', ...at(drawing, xyMm) });
const netOf = (drawing: Drawing, earlier: Net): Net => {
  const { net, troubles } = judgeDrawing(drawing, earlier);
  if (net === null) throw new Error(troubles.map(({ sentence }) => sentence).join(' '));
  return net;
};

describe('opening', () => {
  it('gives the same net again', () => {
    const again = netOf(openDrawing(quarries), quarries);
    expect(again.pieces).toEqual(quarries.pieces);
    expect(again.leads).toEqual(quarries.leads);
  });
});

describe('cutting and healing', () => {
  it('cuts a lead where it is told and leaves no trace when healed', () => {
    const drawing = openDrawing(panes());
    const { leadId } = at(drawing, [100, 50]);
    const cut = splitLead(drawing, leadId, 30);
    // The upright runs from (100, 0) down: 30 mm along it is (100, 30).
    expect(cut.drawing.joints.get(cut.jointId)).toEqual([100, 30]);
    expect(cut.drawing.leads.size).toBe(8);
    const healed = healJoint(cut.drawing, cut.jointId);
    expect(healed.leads.get(leadId)).toEqual(drawing.leads.get(leadId));
    expect(healed.joints).toEqual(drawing.joints);
  });

  it('gives the joint that is there when the cut is at an end', () => {
    const drawing = openDrawing(panes());
    const { leadId } = at(drawing, [100, 50]);
    const cut = splitLead(drawing, leadId, 0.2);
    expect(cut.drawing).toBe(drawing);
    expect(drawing.joints.get(cut.jointId)).toEqual([100, 0]);
  });

  it('makes one side of the frame of two when what stood on it is erased', () => {
    const net = panes();
    const drawing = openDrawing(net);
    const erased = eraseLeads(drawing, [at(drawing, [100, 50]).leadId]);
    expect(erased.joints.size).toBe(4);
    expect(erased.leads.size).toBe(4);
    // The longer half keeps nothing for itself: one piece of 200 × 100.
    expect(netOf(erased, net).pieces.map(({ areaMm2 }) => areaMm2)).toEqual([20_000]);
  });

  it('keeps a joint between two widths of came', () => {
    const drawing = openDrawing(panes());
    const wider = setLeads(drawing, [at(drawing, [50, 0]).leadId], { faceWidthMm: 12 });
    const erased = eraseLeads(wider, [at(wider, [100, 50]).leadId]);
    expect(endsAt(erased, jointAt(erased, [100, 0]))).toHaveLength(2);
    expect([...erased.joints.values()]).not.toContainEqual([100, 100]);
  });

  it('says why a joint of three leads cannot be healed, and where', () => {
    const drawing = openDrawing(panes());
    const joint = jointAt(drawing, [100, 0]);
    expect(() => healJoint(drawing, joint)).toThrow(/3 leads meet at this joint/);
  });
});

describe('moving', () => {
  it('takes straight neighbours along as straight lines', () => {
    const drawing = openDrawing(quarries);
    const joint = jointAt(drawing, [100, 180]);
    const moved = moveJoints(drawing, [joint], [3, -2]);
    expect(moved.joints.get(joint)).toEqual([103, 178]);
    for (const { lead, end } of endsAt(moved, joint)) {
      expect(lead.lineMm[end === 'from' ? 0 : lead.lineMm.length - 1]).toEqual([103, 178]);
      expect(isStraight(lead.lineMm)).toBe(true);
    }
    expect(netOf(moved, quarries).pieces).toHaveLength(quarries.pieces.length);
  });

  it('bends a lead smoothly: the place goes where it is dragged, the joints stay', () => {
    const drawing = openDrawing(panes());
    const { leadId, alongMm } = at(drawing, [100, 50]);
    const bent = bendLead(drawing, leadId, alongMm, [108, 50]).leads.get(leadId)!.lineMm;
    expect([bent[0], bent.at(-1)]).toEqual([
      [100, 0],
      [100, 100],
    ]);
    // A raised cosine of 8 mm over 2 × 50 mm: its length by Simpson's rule is 101.56 mm.
    expect(sagMm(bent)).toBeCloseTo(8, 1);
    expect(polylineLengthMm(bent)).toBeCloseTo(simpson(), 1);
    const turns = bent.slice(1, -1).map((p, i) => turn(bent[i]!, p, bent[i + 2]!));
    expect(Math.max(...turns)).toBeLessThan((6 * Math.PI) / 180);
  });

  it('slides a joint along the frame without bending it', () => {
    const net = panes();
    const drawing = openDrawing(net);
    const joint = jointAt(drawing, [100, 0]);
    const slid = slideJoint(drawing, joint, [120, 9])!;
    expect(slid.joints.get(joint)).toEqual([120, 0]);
    const areas = netOf(slid, net).pieces.map(({ areaMm2 }) => areaMm2);
    // Trapezia: (120 + 100) / 2 × 100 and (80 + 100) / 2 × 100.
    expect(areas.toSorted((a, b) => a - b)).toEqual([9000, 11_000]);
  });

  it('slides no corner', () => {
    const drawing = openDrawing(panes());
    expect(slideJoint(drawing, jointAt(drawing, [0, 0]), [10, 0])).toBeNull();
  });

  it('lands an open end on another lead, where that gets a joint', () => {
    const net = panes();
    const drawing = openDrawing(net);
    const { leadId } = at(drawing, [100, 50]);
    const cut = splitLead(drawing, leadId, 40);
    const open = eraseLeads(cut.drawing, [at(cut.drawing, [100, 70]).leadId]);
    const side = at(open, [200, 40]);
    const landed = weldToLead(open, cut.jointId, side.leadId, side.alongMm);
    const areas = netOf(landed, net).pieces.map(({ areaMm2 }) => areaMm2);
    // The lead runs from (100, 0) to (200, 40): a triangle of 100 × 40 / 2 and the rest.
    expect(areas.toSorted((a, b) => a - b)).toEqual([2000, 18_000]);
    const own = at(open, [100, 20]);
    expect(() => weldToLead(open, cut.jointId, own.leadId, 20)).toThrow(/cannot end on itself/);
  });

  it('straightens a side of the panel and takes its joints along', () => {
    const net = panes();
    const drawing = openDrawing(net);
    const bulged = moveJoints(drawing, [jointAt(drawing, [100, 0])], [0, 7]);
    const ids = [at(bulged, [50, 3.5]).leadId, at(bulged, [150, 3.5]).leadId];
    const straight = straightenLeads(bulged, ids);
    expect(straight.joints).toEqual(drawing.joints);
    expect(netOf(straight, net).outlineMm).toEqual(net.outlineMm);
    expect(() => straightenLeads(bulged, [ids[0]!, at(bulged, [100, 99]).leadId])).not.toThrow();
    expect(() => straightenLeads(bulged, [ids[0]!, at(bulged, [200, 50]).leadId])).toThrow(
      /follow each other/,
    );
  });
});

describe('adding', () => {
  it('puts a mending lead across one pane, with joints on the leads it ends on', () => {
    const net = panes();
    const drawing = openDrawing(net);
    const { drawing: mended, leadIds } = addLead(
      drawing,
      onLead(drawing, [0, 50]),
      onLead(drawing, [100, 50]),
      [],
      { kind: 'mending', faceWidthMm: 4 },
    );
    expect(leadIds).toHaveLength(1);
    const next = netOf(mended, net);
    expect(next.pieces.map(({ areaMm2 }) => areaMm2).toSorted((p, q) => p - q)).toEqual([
      5000, 5000, 10_000,
    ]);
    expect(next.leads.filter(({ kind }) => kind === 'mending')).toHaveLength(1);
  });

  it('cuts what it crosses and is cut there', () => {
    const net = panes();
    const drawing = openDrawing(net);
    const { drawing: crossed, leadIds } = addLead(
      drawing,
      onLead(drawing, [0, 50]),
      onLead(drawing, [200, 50]),
      [],
      { kind: 'came', faceWidthMm: 6 },
    );
    expect(leadIds).toHaveLength(2);
    expect(netOf(crossed, net).pieces).toHaveLength(4);
    expect(endsAt(crossed, jointAt(crossed, [100, 50]))).toHaveLength(4);
  });

  it('goes through a joint that lies on its way', () => {
    const drawing = openDrawing(quarries);
    const { drawing: crossed, leadIds } = addLead(
      drawing,
      onLead(drawing, [0, 120]),
      onLead(drawing, [300, 120]),
      [],
      { kind: 'came', faceWidthMm: 6 },
    );
    // The middles of quarry edges lie on y = 120 at x = 50, 150, 250.
    expect(leadIds).toHaveLength(4);
    for (const x of [50, 150, 250]) {
      expect(endsAt(crossed, jointAt(crossed, [x, 120]))).toHaveLength(6);
    }
    expect(netOf(crossed, quarries).pieces.length).toBeGreaterThan(quarries.pieces.length);
  });

  it('leaves the piece one under a strap lead', () => {
    const net = panes();
    const drawing = openDrawing(net);
    const { drawing: strapped } = addLead(
      drawing,
      onLead(drawing, [0, 50]),
      onLead(drawing, [100, 50]),
      [],
      { kind: 'strap', faceWidthMm: 4 },
    );
    expect(netOf(strapped, net).pieces.map(({ areaMm2 }) => areaMm2)).toEqual([10_000, 10_000]);
  });

  it('refuses a lead without width or length', () => {
    const drawing = openDrawing(panes());
    const one = onLead(drawing, [0, 50]);
    const lead = { kind: 'came', faceWidthMm: 6 } as const;
    expect(() => addLead(drawing, one, one, [], lead)).toThrow(NetError);
    expect(() => addLead(drawing, one, one, [], { ...lead, faceWidthMm: 0 })).toThrow(/face width/);
  });
});

describe('gaps', () => {
  /** The upright has lost its middle 20 mm. */
  function gapped(): { net: Net; drawing: Drawing } {
    const net = panes();
    const whole = openDrawing(net);
    const { leadId } = at(whole, [100, 50]);
    const first = splitLead(whole, leadId, 40);
    const rest = at(first.drawing, [100, 70]);
    const second = splitLead(first.drawing, rest.leadId, 20);
    const middle = at(second.drawing, [100, 50]);
    return { net, drawing: eraseLeads(second.drawing, [middle.leadId]) };
  }

  it('are named, each with its place', () => {
    const { net, drawing } = gapped();
    const { net: none, troubles } = judgeDrawing(drawing, net);
    expect(none).toBeNull();
    expect(troubles.map(({ xyMm }) => xyMm)).toEqual([
      [100, 40],
      [100, 60],
    ]);
    expect(troubles[0]!.sentence).toMatch(/ends in the glass: join it/);
  });

  it('are joined end to end into the one lead that was there', () => {
    const { net, drawing } = gapped();
    const end = openEnds(drawing)[0]!;
    const target = likelyJoin(drawing, end.jointId)!;
    expect(target).toMatchObject({ on: 'joint', xyMm: [100, 60] });
    const joined = joinGap(drawing, end.jointId, target);
    expect(joined.leads.size).toBe(7);
    expect(netOf(joined, net).pieces.map(({ pieceId }) => pieceId)).toEqual(['1', '2']);
  });

  it('go on to the lead ahead when no other end looks back', () => {
    const { drawing } = gapped();
    const lower = openEnds(drawing).find(({ xyMm }) => xyMm[1] === 60)!;
    const half = eraseLeads(drawing, [lower.leadId]);
    const end = openEnds(half)[0]!;
    expect(likelyJoin(half, end.jointId)).toMatchObject({ on: 'lead', xyMm: [100, 100] });
  });

  it('make a broken lead whole', () => {
    const { net, drawing } = gapped();
    const broken = setLeads(
      drawing,
      openEnds(drawing).map(({ leadId }) => leadId),
      {
        kind: 'broken',
      },
    );
    expect(netOf(broken, net).pieces).toHaveLength(1);
    const end = openEnds(broken)[0]!;
    const joined = joinGap(broken, end.jointId, likelyJoin(broken, end.jointId)!);
    const kinds = [...joined.leads.values()].map(({ kind }) => kind);
    expect(kinds).not.toContain('broken');
    expect(netOf(joined, net).pieces).toHaveLength(2);
  });
});

describe('what a person says', () => {
  it('sets profile and width on all leads of one width', () => {
    const drawing = openDrawing(quarries);
    const ids = leadsOfWidth(drawing, at(drawing, [25, 30]).leadId);
    // 9 quarries of four leads; the frame is wider.
    expect(ids).toHaveLength(36);
    const set = setLeads(drawing, ids, { profile: 'H 6 round', faceWidthMm: 6.4 });
    expect(new Set(ids.map((id) => set.leads.get(id)!.profile))).toEqual(new Set(['H 6 round']));
    expect(drawing.leads.get(ids[0]!)!.faceWidthMm).toBe(6);
    expect(() => setLeads(drawing, ids, { faceWidthMm: 0 })).toThrow(/between 0.5 and 60 mm/);
  });

  it('calls outer what the outside touches', () => {
    const net = panes();
    const drawing = openDrawing(net);
    const wrong = setLeads(drawing, drawing.leads.keys(), { kind: 'came' });
    expect(
      netOf(markOuter(wrong), net)
        .leads.map(({ kind }) => kind)
        .toSorted(),
    ).toEqual(net.leads.map(({ kind }) => kind).toSorted());
    const inner = setLeads(drawing, [at(drawing, [100, 50]).leadId], { kind: 'outer' });
    expect(markOuter(inner).leads).toEqual(drawing.leads);
  });

  it('numbers a piece, and two halves by letters', () => {
    const net = panes();
    const drawing = openDrawing(net);
    const renamed = numberPiece(drawing, net, '2', { number: 9, part: null });
    expect(netOf(renamed, net).pieces.map(({ pieceId }) => pieceId)).toEqual(['1', '9']);
    expect(() => numberPiece(drawing, net, '2', { number: 1, part: null })).toThrow(
      /another piece/,
    );
    const { drawing: mended } = addLead(
      drawing,
      onLead(drawing, [0, 50]),
      onLead(drawing, [100, 50]),
      [],
      { kind: 'mending', faceWidthMm: 4 },
    );
    const split = netOf(mended, net);
    const halves = split.pieces.filter(({ labelMm: [x] }) => x < 100).map(({ pieceId }) => pieceId);
    const lettered = letterParts(mended, split, 1, halves);
    expect(netOf(lettered, net).pieces.map(({ pieceId }) => pieceId)).toEqual(['1a', '1b', '2']);
  });
});

describe('the queue of doubts', () => {
  const doubtful = (): Net => {
    const net = panes();
    const middle = net.leads.find(({ kind }) => kind === 'came')!;
    return {
      ...net,
      leads: net.leads.map((lead) =>
        lead === middle
          ? { ...lead, confidenceP: 0.6, doubts: ['weak-wax'] }
          : lead.leadId === net.leads[0]!.leadId && lead !== middle
            ? { ...lead, confidenceP: 0.2, doubts: ['gap-bridged'] }
            : lead,
      ),
      doubtfulPlaces: [
        { xyMm: [50, 50], radiusMm: 12, reason: 'may-be-missing', leadId: null },
        { xyMm: [100, 20], radiusMm: 8, reason: 'weak-wax', leadId: middle.leadId },
      ],
    };
  };

  it('asks the worst first and a lead only once', () => {
    const questions = questionsOf(openDrawing(doubtful()));
    expect(questions.map(({ about, confidenceP }) => [about, confidenceP])).toEqual([
      ['lead', 0.2],
      ['place', 0.3],
      ['lead', 0.6],
    ]);
    expect(questions[2]!.placeIds).toHaveLength(1);
    expect(questions[2]!.xyMm).toEqual([100, 20]);
  });

  it('asks no more what was answered', () => {
    const drawing = openDrawing(doubtful());
    const lead = questionsOf(drawing)[2]!;
    const yes = confirmLeads(drawing, [lead.leadId!]);
    expect(questionsOf(yes).map(({ key }) => key)).not.toContain(lead.key);
    expect(yes.leads.get(lead.leadId!)).toMatchObject({ confidenceP: 1, doubts: [] });
    const no = eraseLeads(drawing, [lead.leadId!]);
    expect(questionsOf(no)).toHaveLength(2);
  });
});

describe('snapping', () => {
  it('prefers a joint, then a lead, then a tenth of a millimetre', () => {
    const drawing = openDrawing(panes());
    const { snap } = snapper(drawing);
    expect(snap([101, 2], 4)).toMatchObject({ on: 'joint', xyMm: [100, 0] });
    const onLead = snap([60.123, 2], 4);
    expect(onLead.on).toBe('lead');
    expect(distanceMm(onLead.xyMm, [60.123, 0])).toBeLessThan(1e-9);
    expect(snap([60.123, 22.06], 4)).toEqual({ on: 'nothing', xyMm: [60.1, 22.1] });
  });

  it('does not pull a thing to itself', () => {
    const drawing = openDrawing(panes());
    const joint = jointAt(drawing, [100, 0]);
    const { snap } = snapper(drawing, {
      withoutJoints: new Set([joint]),
      withoutLeads: new Set(endsAt(drawing, joint).map(({ leadId }) => leadId)),
    });
    expect(snap([100, 1], 4).on).toBe('nothing');
  });
});

describe('nearestOnLine', () => {
  it('measures along the line', () => {
    const line: XyMm[] = [
      [0, 0],
      [30, 0],
      [30, 40],
    ];
    expect(nearestOnLine(line, [33, 10])).toEqual({ alongMm: 40, xyMm: [30, 10], offMm: 3 });
  });
});

/** Length of y = 4 (1 + cos(π x / 50)), x from -50 to 50, by Simpson's rule. */
function simpson(): number {
  const n = 200;
  const speed = (x: number) => Math.hypot(1, ((4 * Math.PI) / 50) * Math.sin((Math.PI * x) / 50));
  let sum = speed(-50) + speed(50);
  for (let i = 1; i < n; i++) sum += speed(-50 + (100 * i) / n) * (i % 2 === 1 ? 4 : 2);
  return (sum * (100 / n)) / 3;
}

function turn(a: XyMm, b: XyMm, c: XyMm): number {
  const before = Math.atan2(b[1] - a[1], b[0] - a[0]);
  const after = Math.atan2(c[1] - b[1], c[0] - b[0]);
  return Math.abs(Math.atan2(Math.sin(after - before), Math.cos(after - before)));
}
