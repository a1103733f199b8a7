import { makePlane } from '#libs/raster';
import { crackGraph } from './crack-graph.js';
import { type Draft, draftOf, lineOf } from './draft.js';
import { measureFaceWidths } from './face-width.js';
import { glassSeeds } from './glass-seeds.js';
import { splitCorners } from './junctions.js';
import { findCrossings, withoutCrossings } from './planarity.js';
import { rejoin } from './rejoin.js';
import { settle } from './settle.js';

const lead = { left: 1, right: 2, faceWidthMm: 6 };
const straight = (...xy: number[]): Float64Array => Float64Array.from(xy);

describe('seeds of glass', () => {
  test('two rooms with a narrow door are two, with a wide one one', () => {
    const room = (door: number): Uint8Array =>
      Uint8Array.from({ length: 41 * 21 }, (_, i) => {
        const x = i % 41;
        const y = Math.floor(i / 41);
        if (x === 0 || y === 0 || x === 40 || y === 20) return 0;
        return x === 20 && Math.abs(y - 10) > door ? 0 : 1;
      });
    expect(glassSeeds(room(1), 41, 21, 1.2, 2).count).toBe(2);
    expect(glassSeeds(room(9), 41, 21, 1.2, 2).count).toBe(1);
  });
});

describe('tracing between regions', () => {
  // Euler: V - E + F = 1 + C, the outside counted among the faces
  test('three regions in one outline: planar graph with closed faces', () => {
    const width = 12;
    const height = 9;
    const labels = Int32Array.from({ length: width * height }, (_, i) => {
      const x = i % width;
      const y = Math.floor(i / width);
      if (x < 1 || y < 1 || x > 10 || y > 7) return 1;
      return x < 6 ? 2 : y < 4 ? 3 : 4;
    });
    const graph = crackGraph({ width, height, labels, outside: 1, count: 4 });
    expect(graph.nodes.length / 2 - graph.chains.length + 4).toBe(2);
    for (const label of [2, 3, 4]) {
      // steps of one region's boundary add up to nothing
      let dx = 0;
      let dy = 0;
      for (const c of graph.chains) {
        const sign = (c.left === label ? 1 : 0) - (c.right === label ? 1 : 0);
        dx += sign * (c.xy[c.xy.length - 2]! - c.xy[0]!);
        dy += sign * (c.xy[c.xy.length - 1]! - c.xy[1]!);
      }
      expect([dx, dy]).toEqual([0, 0]);
    }
  });
  test('a region inside another gets a closed line of two leads', () => {
    const labels = Int32Array.from({ length: 64 }, (_, i) =>
      i % 8 > 1 && i % 8 < 6 && i > 15 && i < 48 ? 2 : 1,
    );
    const graph = crackGraph({ width: 8, height: 8, labels, outside: 1, count: 2 });
    expect(graph.nodes.length / 2).toBe(2);
    expect(graph.chains.length).toBe(2);
  });
});

describe('settling', () => {
  test('a noisy trace with true offsets becomes the straight line through them', () => {
    const n = 60;
    const line = Float64Array.from({ length: 2 * n }, (_, i) =>
      i % 2 === 0 ? i / 2 : 0.4 * Math.sin(i * 1.7),
    );
    const draft = draftOf(
      [line[0]!, line[1]!, line[2 * n - 2]!, line[2 * n - 1]!],
      [{ ...lead, from: 0, to: 1, line }],
    );
    const offsetMm = new Float64Array(draft.xy.length / 2);
    const weight = new Float64Array(draft.xy.length / 2).fill(1);
    // normal of a line to the right is up: an offset by y brings a point back to y = 0
    for (let p = draft.nodeCount; p < offsetMm.length; p++) offsetMm[p] = draft.xy[2 * p + 1]!;
    settle(draft, { offsetMm, weight }, [], { stiffness: 200, cornerMm: 0.12, rounds: 3 });
    const out = lineOf(draft, draft.leads[0]!);
    for (let k = 10; k < 50; k++) expect(Math.abs(out[2 * k + 1]!)).toBeLessThan(0.06);
  });
});

describe('junctions', () => {
  test('a right angle within a lead becomes a node, a round bend does not', () => {
    const corner = draftOf(
      [0, 0, 30, 30],
      [{ ...lead, from: 0, to: 1, line: straight(0, 0, 30, 0, 30, 30) }],
    );
    expect(splitCorners(corner).leads.length).toBe(2);
    const arc = Float64Array.from({ length: 64 }, (_, i) => {
      const a = ((i >> 1) / 31) * (Math.PI / 2);
      return i % 2 === 0 ? 40 * Math.sin(a) : 40 - 40 * Math.cos(a);
    });
    expect(
      splitCorners(draftOf([0, 0, 40, 40], [{ ...lead, from: 0, to: 1, line: arc }])).leads.length,
    ).toBe(1);
  });
  test('two leads that cross beside their common node meet in the crossing', () => {
    const draft = draftOf(
      [0, 0, 30, 3, 30, -3, -30, 0],
      [
        { ...lead, from: 0, to: 1, line: straight(0, 0, 5, -1, 30, 3) },
        { ...lead, from: 0, to: 2, line: straight(0, 0, 5, 1, 30, -3) },
        { ...lead, from: 3, to: 0, line: straight(-30, 0, 0, 0) },
      ],
    );
    expect(findCrossings(draft).length).toBe(1);
    const clean = withoutCrossings(draft, () => 1);
    expect(findCrossings(clean).length).toBe(0);
    expect(clean.leads.length).toBe(3);
  });
});

describe('face width', () => {
  test.each([4, 6.4, 12])('of a drawn band of %f mm, hollow in the middle', (widthMm) => {
    const density = makePlane(400, 200);
    for (let y = 0; y < 200; y++) {
      const d = Math.abs(y / 4 - 25) - widthMm / 2;
      const cover = Math.max(0, Math.min(1, 0.5 - d * 4)) * (d < -1.8 ? 0.4 : 0.8);
      for (let x = 0; x < 400; x++) density.data[y * 400 + x] = cover;
    }
    const draft = draftOf(
      [5, 25, 95, 25],
      [{ ...lead, from: 0, to: 1, line: straight(5, 25, 95, 25), faceWidthMm: widthMm + 0.7 }],
    );
    measureFaceWidths(draft, { density, pxPerMm: 4, originMm: [0, 0] });
    expect(Math.abs(draft.leads[0]!.faceWidthMm - widthMm)).toBeLessThan(0.1);
  });
});

describe('joints found again', () => {
  /** Bands of full wax on bare paper, soft over half a millimetre. */
  const drawn = (bands: readonly [number, number, number, number][], widthMm: number) => {
    const density = makePlane(480, 480);
    for (let y = 0; y < 480; y++) {
      for (let x = 0; x < 480; x++) {
        let d = Infinity;
        for (const [ax, ay, bx, by] of bands) {
          // all bands lie along an axis; the ends are square
          const dx = Math.max(Math.min(ax, bx) - x / 4, x / 4 - Math.max(ax, bx), 0);
          const dy = Math.max(Math.min(ay, by) - y / 4, y / 4 - Math.max(ay, by), 0);
          d = Math.min(d, Math.max(dx, dy));
        }
        density.data[y * 480 + x] = 0.7 * Math.max(0, Math.min(1, 0.5 + 2 * (widthMm / 2 - d)));
      }
    }
    const face = makePlane(240, 240);
    for (let y = 0; y < 240; y++) {
      for (let x = 0; x < 240; x++) {
        face.data[y * 240 + x] = density.data[2 * y * 480 + 2 * x]! > 0.3 ? 1 : 0;
      }
    }
    const sheet = { density, pxPerMm: 4, originMm: [0, 0] as const };
    const evidence = {
      face,
      centre: face,
      outside: face,
      cellsPerMm: 2,
      originMm: [0, 0] as const,
    };
    return { sheet, evidence };
  };
  const frame = [
    [10, 10, 110, 10],
    [110, 10, 110, 110],
    [110, 110, 10, 110],
    [10, 110, 10, 10],
  ] as [number, number, number, number][];
  const SMOOTH = { stiffness: 200, cornerMm: 0.12, rounds: 4 };
  /** A frame, a lead across it and one from above and one from below that end at it, `left` and `right` of it. */
  const panel = (drawnTop: number, drawnBottom: number): Draft =>
    draftOf(
      [
        10,
        10,
        110,
        10,
        110,
        60,
        110,
        110,
        10,
        110,
        10,
        60,
        60,
        10,
        60,
        110,
        drawnTop,
        60,
        drawnBottom,
        60,
      ],
      [
        { from: 0, to: 6, line: straight(10, 10, 60, 10), left: 9, right: 1 },
        { from: 6, to: 1, line: straight(60, 10, 110, 10), left: 9, right: 2 },
        { from: 1, to: 2, line: straight(110, 10, 110, 60), left: 9, right: 2 },
        { from: 2, to: 3, line: straight(110, 60, 110, 110), left: 9, right: 4 },
        { from: 3, to: 7, line: straight(110, 110, 60, 110), left: 9, right: 4 },
        { from: 7, to: 4, line: straight(60, 110, 10, 110), left: 9, right: 3 },
        { from: 4, to: 5, line: straight(10, 110, 10, 60), left: 9, right: 3 },
        { from: 5, to: 0, line: straight(10, 60, 10, 10), left: 9, right: 1 },
        { from: 5, to: 8, line: straight(10, 60, drawnTop, 60), left: 1, right: 3 },
        { from: 8, to: 9, line: straight(drawnTop, 60, drawnBottom, 60), left: 2, right: 3 },
        { from: 9, to: 2, line: straight(drawnBottom, 60, 110, 60), left: 2, right: 4 },
        { from: 6, to: 8, line: straight(60, 10, 60, 54, drawnTop, 60), left: 2, right: 1 },
        { from: 7, to: 9, line: straight(60, 110, 60, 66, drawnBottom, 60), left: 3, right: 4 },
      ].map((one) => ({ ...one, faceWidthMm: 6 })),
    );
  const places = new Map<number, [number, number]>([
    [1, [30, 30]],
    [2, [90, 30]],
    [3, [30, 90]],
    [4, [90, 90]],
  ]);

  test('a crossing traced as two joints becomes one of four leads', () => {
    const { sheet, evidence } = drawn([...frame, [10, 60, 110, 60], [60, 10, 60, 110]], 6);
    const joined = rejoin(panel(57, 63), places, 9, evidence, sheet, SMOOTH);
    const degree = new Int32Array(joined.nodeCount);
    for (const { from, to } of joined.leads) {
      degree[from]!++;
      degree[to]!++;
    }
    expect(Math.max(...degree)).toBe(4);
    const at = degree.indexOf(4);
    expect(Math.hypot(joined.xy[2 * at]! - 60, joined.xy[2 * at + 1]! - 60)).toBeLessThan(0.5);
  });
  test('two joints traced in the wrong order change places', () => {
    const bands = [...frame, [10, 60, 110, 60], [57, 10, 57, 60], [63, 60, 63, 110]];
    const { sheet, evidence } = drawn(bands as typeof frame, 6);
    const draft = panel(61, 59);
    // the branches themselves lie where the wax is
    for (let k = 0; k < draft.xy.length; k += 2) {
      if (draft.xy[k] === 60) draft.xy[k] = draft.xy[k + 1]! < 60 ? 57 : 63;
    }
    const joined = rejoin(draft, places, 9, evidence, sheet, SMOOTH);
    const inside = [...Array(joined.nodeCount).keys()]
      .map((n): [number, number] => [joined.xy[2 * n]!, joined.xy[2 * n + 1]!])
      .filter(([x, y]) => x > 20 && x < 100 && y > 20 && y < 100)
      .sort((a, b) => a[0] - b[0]);
    expect(inside.map(([x, y]) => [Math.round(x), Math.round(y)])).toEqual([
      [57, 60],
      [63, 60],
    ]);
    // the upper branch ends left of the lower one: 2 and 3 meet between them, 1 and 4 do not
    const between = joined.leads.map(({ left, right }) => [left, right].sort().join(' '));
    expect(between).toContain('2 3');
    expect(between).not.toContain('1 4');
  });
});
