import { buildNet } from './build-net.js';
import { diffNets } from './diff-nets.js';
import { lozengeSketch } from './lozenge-sketch.js';
import type { Net, NetSketch, XyMm } from './net.js';

const GRID = { columns: 3, rows: 3, widthMm: 100, heightMm: 120, faceWidthMm: 6, outerFaceMm: 10 };

function build(sketch: NetSketch): Net {
  return buildNet(sketch, {
    face: 'inside',
    layer: 'front',
    surface: 'plan',
    madeBy: { name: 'test', version: '1' },
  });
}

/** The grid with the joint at `at` moved by `by`. */
function moved(at: XyMm, by: XyMm): NetSketch {
  const { nodes, leads } = lozengeSketch(GRID);
  const move = (xyMm: XyMm): XyMm =>
    xyMm[0] === at[0] && xyMm[1] === at[1] ? [at[0] + by[0], at[1] + by[1]] : xyMm;
  return {
    nodes: nodes.map(({ xyMm }) => ({ xyMm: move(xyMm) })),
    leads: leads.map((lead) => ({ ...lead, lineMm: lead.lineMm.map(move) })),
  };
}

const before = build(lozengeSketch(GRID));

describe('diffNets', () => {
  it('says that nothing moved', () => {
    const diff = diffNets(before, before);
    expect(diff.sentence).toBe(
      `All ${before.leads.length} leads are where they were, within 1.0 mm.`,
    );
    expect(diff.maxMm).toBeLessThan(1e-9);
    expect(diff.shifts).toHaveLength(before.leads.length);
  });

  it('finds the four leads of a joint that moved, how far and which way', () => {
    const diff = diffNets(before, build(moved([100, 180], [4, 0])));
    expect(diff.moved).toHaveLength(4);
    // Ends at the joint itself are left out, so the largest shift seen is below the whole 4 mm.
    expect(diff.maxMm).toBeGreaterThan(2);
    expect(diff.maxMm).toBeLessThanOrEqual(4);
    for (const shift of diff.moved) expect(shift.byMm[0]).toBeGreaterThan(0);
    expect([diff.added, diff.removed]).toEqual([[], []]);
    expect(diff.sentence).toMatch(/^4 leads moved by up to \d\.\d mm \(most: L\d+\)\.$/);
  });

  it('names a lead that is there no more, and the pieces on its sides', () => {
    const sketch = lozengeSketch(GRID);
    const gone = sketch.leads.findIndex((lead) =>
      lead.lineMm.some(([x, y]) => x === 150 && y === 120),
    );
    const after = build({ ...sketch, leads: sketch.leads.filter((_, i) => i !== gone) });
    const diff = diffNets(before, after);
    expect(diff.removed).toHaveLength(1);
    expect(diff.removed[0]!.lengthMm).toBeCloseTo(Math.hypot(50, 60), 3);
    expect(diff.sentence).toBe('1 lead removed.');
    expect(diffNets(after, before).sentence).toBe('1 lead added.');
  });

  it('sees a came of another width', () => {
    const sketch = lozengeSketch(GRID);
    const after = build({
      ...sketch,
      leads: sketch.leads.map((lead, i) => (i === 0 ? { ...lead, faceWidthMm: 8 } : lead)),
    });
    expect(
      diffNets(before, after).widths.map(({ beforeMm, afterMm }) => [beforeMm, afterMm]),
    ).toEqual([[6, 8]]);
  });

  it('refuses to compare two faces', () => {
    expect(() => diffNets(before, { ...before, face: 'outside' })).toThrow(/different sides/);
  });
});
