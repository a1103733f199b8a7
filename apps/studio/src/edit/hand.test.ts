import { buildNet, type Drawing, judgeDrawing, lozengeSketch, openDrawing } from '#libs/net';
import { beginDrag, changedLeads, leadsWithin, nothingChosen } from './hand.js';

/** Quarries of 100 × 120 mm, three by three; a joint of four straight leads at (100, 180). */
const net = buildNet(
  lozengeSketch({
    columns: 3,
    rows: 3,
    widthMm: 100,
    heightMm: 120,
    faceWidthMm: 6,
    outerFaceMm: 10,
  }),
  { face: 'inside', layer: 'front', surface: 'plan', madeBy: { name: 'test', version: '1' } },
);
const drawing = openDrawing(net);
const jointAt = (of: Drawing, [x, y]: readonly [number, number]) =>
  [...of.joints].find(([, place]) => Math.hypot(place[0] - x, place[1] - y) < 0.01)![0];
const joint = { is: 'joint', jointId: jointAt(drawing, [100, 180]) } as const;

describe('a joint under the hand', () => {
  it('goes where the hand is and takes its leads along', () => {
    const drag = beginDrag(drawing, joint, nothingChosen);
    const { drawing: live, snap } = drag.at([110, 180.2], 3);
    expect(live.joints.get(joint.jointId)).toEqual([110, 180.2]);
    expect(snap?.on).toBe('nothing');
    expect(changedLeads(drawing, live).size).toBe(4);
  });

  it('stays on the lead that runs through it while it is near, not with snapping off', () => {
    const drag = beginDrag(drawing, joint, nothingChosen);
    // The lead rises at 60 : 50, so (110, 168) is on it and (111, 168.8) a millimetre beside.
    const place = drag.at([111, 168.8], 3).drawing.joints.get(joint.jointId)!;
    expect(Math.abs((place[0] - 100) * 60 + (place[1] - 180) * 50)).toBeLessThan(0.2);
    expect(drag.at([111, 168.8], 0).drawing.joints.get(joint.jointId)).toEqual([111, 168.8]);
  });

  it('is pulled to another joint and becomes one with it when let go', () => {
    const drag = beginDrag(drawing, joint, nothingChosen);
    expect(drag.at([149, 121], 3).snap).toMatchObject({ on: 'joint', xyMm: [150, 120] });
    const welded = drag.drop([149, 121], 3);
    expect(welded.joints.has(joint.jointId)).toBe(false);
    // The lead between the two is gone with it.
    expect(welded.leads.size).toBe(drawing.leads.size - 1);
  });

  it('cuts the lead that it is let go on', () => {
    const drag = beginDrag(drawing, joint, nothingChosen);
    const dropped = drag.drop([125.5, 89.5], 3);
    const { net: after, troubles } = judgeDrawing(dropped, net);
    expect(dropped.leads.size).toBe(drawing.leads.size + 1);
    expect(after !== null || troubles[0]?.xyMm !== null).toBe(true);
  });
});

describe('a lead under the hand', () => {
  const [leadId] = leadsWithin(drawing, [
    [99, 119],
    [151, 181],
  ]);
  const held = { is: 'lead', leadId: leadId!, alongMm: 39 } as const;

  it('bends where it is held, its joints stay', () => {
    const drag = beginDrag(drawing, held, nothingChosen);
    const live = drag.at([drag.fromMm[0] + 3, drag.fromMm[1] + 3], 3).drawing;
    expect(live.joints).toBe(drawing.joints);
    expect([...changedLeads(drawing, live)]).toEqual([leadId]);
  });

  it('goes along with all that is chosen, when several are', () => {
    const chosen = { leads: new Set([leadId!]), joints: new Set([jointAt(drawing, [200, 180])]) };
    const drag = beginDrag(drawing, held, chosen);
    const live = drag.drop([drag.fromMm[0] + 1, drag.fromMm[1]], 3);
    expect(live.joints.get(jointAt(drawing, [200, 180]))).toEqual([201, 180]);
    expect(live.joints.get(joint.jointId)).toEqual([101, 180]);
  });
});

describe('a box', () => {
  it('chooses the leads that lie wholly in it', () => {
    const within = leadsWithin(drawing, [
      [205, 245],
      [95, 115],
    ]);
    // One whole quarry, whichever corners the box was drawn from.
    expect(within.size).toBe(4);
  });
});
