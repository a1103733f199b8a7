import type { Net, XyMm } from '../net.js';
import { distanceMm } from '../ring.js';
import { eraseLeads } from './cut.js';
import { type Drawing, openDrawing } from './drawing.js';
import { bendLead, moveJoints } from './move.js';
import { putOnTop } from './put-on-top.js';
import { builtAfter, leadAt, mended, quarries } from './quarries.fixture.js';
import { sayNetChange } from './say-net-change.js';
import { confirmLeads, setLeads } from './set-leads.js';

const first: Net = {
  ...quarries,
  doubtfulPlaces: [
    { xyMm: [50, 60], radiusMm: 9, reason: 'may-be-missing', leadId: null },
    { xyMm: [250, 300], radiusMm: 9, reason: 'may-be-missing', leadId: null },
  ],
};
const base = openDrawing(first);
const lead = leadAt;
const joint = (drawing: Drawing, xyMm: XyMm) =>
  [...drawing.joints].find(([, place]) => distanceMm(place, xyMm) < 0.01)![0];
const built = (drawing: Drawing, earlier = first): Net => builtAfter(drawing, earlier);
/** What another person's edit looks like when it comes back from the archive. */
const published = (drawing: Drawing) => built(drawing);

describe('one person’s edits on top of another’s', () => {
  it('keeps both when they are at different places', () => {
    const one = lead(base, [125, 30]);
    const mine = mended(bendLead(base, one.leadId, one.alongMm, [127, 32]), [150, 300]);
    const theirs = published(
      setLeads(
        moveJoints(base, [joint(base, [100, 180])], [2, 1]),
        [lead(base, [275, 30]).leadId],
        {
          profile: 'H 6 round',
        },
      ),
    );
    const merged = built(putOnTop(base, mine, openDrawing(theirs)), theirs);
    const mineOnly = sayNetChange(theirs, merged);
    expect(mineOnly.sentence).toMatch(/^1 lead moved ≤ 2\.\d mm, 1 mending lead added in \d+$/);
    const theirsOnly = sayNetChange(built(mine), merged);
    expect(theirsOnly.sentence).toMatch(/^4 leads moved ≤ 2\.\d mm, profile H 6 round on 1 lead$/);
  });

  it('does not bring back what the other erased, nor keep what I erased', () => {
    const mine = eraseLeads(base, [lead(base, [125, 30]).leadId]);
    const theirs = published(eraseLeads(base, [lead(base, [125, 270]).leadId]));
    const merged = built(putOnTop(base, mine, openDrawing(theirs)), theirs);
    expect(merged.pieces).toHaveLength(first.pieces.length - 2);
  });

  it('keeps a lead that I changed though the other erased it', () => {
    const one = lead(base, [125, 30]);
    const mine = setLeads(base, [one.leadId], { faceWidthMm: 9 });
    const theirs = published(eraseLeads(base, [one.leadId]));
    const merged = putOnTop(base, mine, openDrawing(theirs));
    expect(merged.leads.get(one.leadId)?.faceWidthMm).toBe(9);
    expect(built(merged, theirs).pieces).toHaveLength(first.pieces.length);
  });

  it('carries my lead to the joint that the other moved', () => {
    const one = lead(base, [125, 150]);
    const mine = bendLead(base, one.leadId, one.alongMm, [127, 152]);
    const theirs = published(moveJoints(base, [joint(base, [100, 180])], [0, 5]));
    const merged = putOnTop(base, mine, openDrawing(theirs));
    expect(merged.joints.get(joint(base, [100, 180]))).toEqual([100, 185]);
    built(merged, theirs);
  });

  it('keeps my bend and their width of one lead', () => {
    const one = lead(base, [125, 30]);
    const mine = bendLead(base, one.leadId, one.alongMm, [127, 32]);
    const theirs = published(setLeads(base, [one.leadId], { faceWidthMm: 9 }));
    const merged = putOnTop(base, mine, openDrawing(theirs)).leads.get(one.leadId)!;
    expect(merged.faceWidthMm).toBe(9);
    expect(merged.lineMm).toEqual(mine.leads.get(one.leadId)!.lineMm);
  });

  it('leaves open only the doubts that neither answered', () => {
    const answered: Drawing = {
      ...base,
      places: new Map([...base.places].filter(([id]) => id !== 'P1')),
    };
    const theirs = published(confirmLeads(base, [lead(base, [125, 30]).leadId]));
    expect(putOnTop(base, answered, openDrawing(theirs)).places.size).toBe(1);
    expect(putOnTop(base, base, openDrawing(theirs)).places.size).toBe(2);
  });
});
