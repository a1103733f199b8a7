import { buildNet, lozengeSketch, polylineLengthMm, ringAreaMm2 } from '#libs/net';
import { copyFinding, neighboursOf } from './copy-finding.js';

/** Lozenges of 100 × 100 mm, two by two, by 6 mm came. */
const net = buildNet(
  lozengeSketch({
    columns: 2,
    rows: 2,
    widthMm: 100,
    heightMm: 100,
    faceWidthMm: 6,
    outerFaceMm: 10,
  }),
  { face: 'inside', layer: 'front', surface: 'plan', madeBy: { name: 'test', version: '1' } },
);
const wholeOnes = net.pieces.filter(({ areaMm2 }) => Math.abs(areaMm2 - 5000) < 1);
const [from, to] = [wholeOnes[0]!, wholeOnes[1]!];

describe('the same finding on another piece', () => {
  it('is as long a crack, as far from the number', () => {
    const [x, y] = from.labelMm;
    const crack = {
      kind: 'line',
      xyMm: [
        [x - 5, y],
        [x + 5, y + 8],
      ] as [number, number][],
    } as const;
    const [copy] = copyFinding(crack, from, to);
    expect(polylineLengthMm(copy!.xyMm)).toBeCloseTo(Math.hypot(10, 8), 2);
    const offs = copy!.xyMm.map(([cx, cy]) => Math.hypot(cx - to.labelMm[0], cy - to.labelMm[1]));
    expect(Math.max(...offs)).toBeCloseTo(Math.hypot(5, 8), 2);
  });

  it('covers the whole glass of the other when it covers the whole of the first', () => {
    const half = net.pieces.find(({ areaMm2 }) => Math.abs(areaMm2 - 2500) < 1)!;
    const crust = { kind: 'area', xyMm: from.sightRingsMm[0]! } as const;
    const [copy] = copyFinding(crust, from, half);
    expect(ringAreaMm2(copy!.xyMm)).toBeCloseTo(half.sightAreaMm2, 0);
  });

  it('ends where the glass of a smaller one ends', () => {
    const small = net.pieces.toSorted((a, b) => a.areaMm2 - b.areaMm2)[0]!;
    const [x, y] = from.labelMm;
    const patch = [
      [x - 15, y - 15],
      [x + 15, y - 15],
      [x + 15, y + 15],
      [x - 15, y + 15],
    ] as [number, number][];
    const copies = copyFinding({ kind: 'area', xyMm: patch }, from, small);
    const area = copies.reduce((sum, { xyMm }) => sum + ringAreaMm2(xyMm), 0);
    expect(area).toBeGreaterThan(0);
    expect(area).toBeLessThanOrEqual(small.sightAreaMm2 + 0.1);
  });
});

it('neighbours share a lead: four round a lozenge', () => {
  const beside = neighboursOf(net, from.pieceId);
  expect(beside).toHaveLength(4);
  expect(beside).not.toContain(from.pieceId);
});
