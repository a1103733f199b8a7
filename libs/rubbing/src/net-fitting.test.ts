import { makePlane } from '#libs/raster';
import { crackGraph } from './crack-graph.js';
import { type Draft, draftOf, lineOf } from './draft.js';
import { measureFaceWidths } from './face-width.js';
import { glassSeeds } from './glass-seeds.js';
import { leadEnds, meetingPoint } from './junction-ends.js';
import { contractShortWalls, splitCorners } from './junctions.js';
import { moveNodes } from './node-places.js';
import { findCrossings, withoutCrossings } from './planarity.js';
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
  const cross = (gap: number): Draft =>
    draftOf(
      [0, -40, 40, 0, 0, 40, -40, 0, -gap, 0, gap, 0],
      [
        // the upper and the left lead end at one node, the right and the lower one at the other
        { ...lead, from: 0, to: 4, line: straight(0, -40, 0, -4, -gap, 0), left: 1, right: 2 },
        { ...lead, from: 3, to: 4, line: straight(-40, 0, -gap, 0), left: 2, right: 3 },
        { ...lead, from: 1, to: 5, line: straight(40, 0, gap, 0), left: 4, right: 1 },
        { ...lead, from: 2, to: 5, line: straight(0, 40, 0, 4, gap, 0), left: 3, right: 4 },
        { ...lead, from: 4, to: 5, line: straight(-gap, 0, gap, 0), left: 1, right: 3 },
      ],
    );

  test('the ends of a crossing point at its middle', () => {
    const draft = cross(2);
    const ends = leadEnds(draft, (node) => (node > 3 ? 4 : node));
    const four = [...ends[4]!, ...ends[5]!].filter((end) => end.lead !== draft.leads[4]);
    const meet = meetingPoint(four, 1, 1);
    expect(Math.hypot(meet.x, meet.y)).toBeLessThan(0.2);
  });
  test('the little wall of a crossing is contracted to one node of four leads', () => {
    const draft = contractShortWalls(cross(2), 1.2, []);
    expect(draft.leads.length).toBe(4);
    expect(draft.nodeCount).toBe(5);
  });
  test('not where the place is told to be left alone', () => {
    expect(contractShortWalls(cross(2), 1.2, [{ x: 0, y: 0, radiusMm: 5 }]).leads.length).toBe(5);
  });
  test('a branch that was traced to the wrong place slides along the lead it ends at', () => {
    const draft = draftOf(
      [-50, 0, 50, 0, 5, 0, 40, -40],
      [
        { ...lead, from: 0, to: 2, line: straight(-50, 0, 5, 0) },
        { ...lead, from: 2, to: 1, line: straight(5, 0, 50, 0) },
        // its free part aims at (0, 0)
        { ...lead, from: 3, to: 2, line: straight(40, -40, 6.5, -6.5, 5, 0) },
      ],
    );
    const moved = moveNodes(
      draft,
      leadEnds(draft, (node) => node),
      [],
    );
    expect(Math.abs(moved.xy[4]!)).toBeLessThan(0.7);
    expect(Math.abs(moved.xy[5]!)).toBeLessThan(0.1);
  });
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
