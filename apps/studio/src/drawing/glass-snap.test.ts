import { buildNet, lozengeSketch } from '#libs/net';
import { glassSnap } from './glass-snap.js';

/** Two lozenges of 100 × 100 mm by 6 mm came: joints lie where their points meet, e.g. at (100, 50). */
const net = buildNet(
  lozengeSketch({
    columns: 2,
    rows: 1,
    widthMm: 100,
    heightMm: 100,
    faceWidthMm: 6,
    outerFaceMm: 10,
  }),
  { face: 'inside', layer: 'front', surface: 'plan', madeBy: { name: 'test', version: '1' } },
);
const snap = glassSnap(net);

describe('a point on the glass', () => {
  it('goes to the joint within reach', () => {
    const to = snap([101, 51], 3);
    expect(to?.to).toBe('joint');
    expect(to?.xyMm[0]).toBeCloseTo(100, 3);
    expect(to?.xyMm[1]).toBeCloseTo(50, 3);
  });

  it('goes to the edge of the glass that is seen, half a face beside the centre line', () => {
    // The lead from (50, 0) to (100, 50) runs at 45°: the seen edge of the left lozenge is 3 mm off it.
    const off = (x: number, y: number) => Math.abs(x - 50 - y) / Math.SQRT2;
    const to = snap([72, 27], 3);
    expect(to?.to).toBe('edge');
    expect(off(to!.xyMm[0], to!.xyMm[1])).toBeCloseTo(3, 2);
  });

  it('stays free in the middle of a piece, and where the reach is nothing', () => {
    expect(snap([50, 50], 3)).toBeNull();
    expect(snap([100, 50], 0)).toBeNull();
  });
});
