/** Nets of random drawings against what plane geometry says of them. */
import fc from 'fast-check';
import { type BuildNetOptions, buildNet } from './build-net.js';
import { ringsAreaMm2 } from './clip.js';
import { curvePoints } from './curve/curve-parts.js';
import { leadCurve } from './curve/net-curves.js';
import type { LeadKind, Net, NetSketch, SketchLead, XyMm } from './net.js';
import { netJson, readNet } from './net-json.js';
import { distanceToSegmentMm, polylineLengthMm, ringAreaMm2 } from './ring.js';

const options: BuildNetOptions = {
  face: 'inside',
  layer: 'front',
  surface: 'developed',
  madeBy: { name: 'test', version: '1' },
};
const WIDTH = 400;
const HEIGHT = 300;

interface Chord {
  readonly a: XyMm;
  readonly b: XyMm;
  readonly kind: LeadKind;
}

/** Chords across a rectangle, from one side to another; each place on the sides is used once. */
const chords = fc
  .uniqueArray(fc.integer({ min: 1, max: 139 }), { minLength: 2, maxLength: 16 })
  .chain((places) =>
    fc.record({
      places: fc.constant(places.slice(0, places.length & ~1)),
      kinds: fc.array(fc.constantFrom<LeadKind>('came', 'mending', 'foil'), {
        minLength: 8,
        maxLength: 8,
      }),
    }),
  )
  .map(({ places, kinds }) =>
    Array.from({ length: places.length / 2 }, (_, i): Chord => {
      return { a: onSide(places[2 * i]!), b: onSide(places[2 * i + 1]!), kind: kinds[i]! };
    }).filter(({ a, b }) => sideOf(a) !== sideOf(b)),
  );

/** Places every 10 mm round the rectangle, corners left out. */
function onSide(at: number): XyMm {
  const round = at * 10 + 0.37 * (at % 7);
  const clear = (value: number, most: number) => Math.min(most - 4, Math.max(4, value));
  if (round < WIDTH) return [clear(round, WIDTH), 0];
  if (round < WIDTH + HEIGHT) return [WIDTH, clear(round - WIDTH, HEIGHT)];
  if (round < 2 * WIDTH + HEIGHT) return [clear(round - WIDTH - HEIGHT, WIDTH), HEIGHT];
  return [0, clear(round - 2 * WIDTH - HEIGHT, HEIGHT)];
}

function sideOf([x, y]: XyMm): number {
  return y === 0 ? 0 : x === WIDTH ? 1 : y === HEIGHT ? 2 : 3;
}

interface Arrangement {
  readonly sketch: NetSketch;
  readonly chords: number;
  readonly crossings: number;
}

/**
 * The drawing of chords cut at their crossings; null when two crossings, or a crossing and a chord,
 * lie too close to call (general position is what the count below speaks of).
 */
function arrange(lines: readonly Chord[]): Arrangement | null {
  const nodes: XyMm[] = [];
  const near = (p: XyMm) => nodes.findIndex(([x, y]) => Math.hypot(x - p[0], y - p[1]) < 1.5);
  const put = (p: XyMm) =>
    nodes.push([Math.round(p[0] * 1000) / 1000, Math.round(p[1] * 1000) / 1000]) - 1;
  const corners: XyMm[] = [
    [0, 0],
    [WIDTH, 0],
    [WIDTH, HEIGHT],
    [0, HEIGHT],
  ];
  corners.forEach(put);
  const rim: { node: number; round: number }[] = corners.map((p, node) => ({
    node,
    round: roundOf(p),
  }));
  const on: { node: number; t: number }[][] = [];
  for (const { a, b } of lines) {
    if (near(a) !== -1 || near(b) !== -1) return null;
    const [from, to] = [put(a), put(b)];
    rim.push({ node: from, round: roundOf(a) }, { node: to, round: roundOf(b) });
    on.push([
      { node: from, t: 0 },
      { node: to, t: 1 },
    ]);
  }
  let crossings = 0;
  for (let i = 0; i < lines.length; i++) {
    for (let j = i + 1; j < lines.length; j++) {
      const { a, b } = lines[i]!;
      const { a: c, b: d } = lines[j]!;
      const det = (b[0] - a[0]) * (d[1] - c[1]) - (b[1] - a[1]) * (d[0] - c[0]);
      if (Math.abs(det) < 1) continue;
      const t = ((c[0] - a[0]) * (d[1] - c[1]) - (c[1] - a[1]) * (d[0] - c[0])) / det;
      const u = ((c[0] - a[0]) * (b[1] - a[1]) - (c[1] - a[1]) * (b[0] - a[0])) / det;
      if (t <= 0 || t >= 1 || u <= 0 || u >= 1) continue;
      const p: XyMm = [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])];
      if (near(p) !== -1) return null;
      const node = put(p);
      on[i]!.push({ node, t });
      on[j]!.push({ node, t: u });
      crossings++;
    }
  }
  const leads: SketchLead[] = [];
  const lead = (from: number, to: number, kind: LeadKind) =>
    leads.push({
      from,
      to,
      kind,
      lineMm: [nodes[from]!, nodes[to]!],
      faceWidthMm: kind === 'foil' ? 3 : 6,
      widthSpreadMm: 0.2,
      confidenceP: 1,
      doubts: [],
    });
  lines.forEach(({ kind }, i) => {
    const along = on[i]!.sort((p, q) => p.t - q.t);
    for (let k = 1; k < along.length; k++) lead(along[k - 1]!.node, along[k]!.node, kind);
  });
  rim.sort((p, q) => p.round - q.round);
  rim.forEach(({ node }, k) => lead(node, rim[(k + 1) % rim.length]!.node, 'outer'));
  return {
    sketch: { nodes: nodes.map((xyMm) => ({ xyMm })), leads },
    chords: lines.length,
    crossings,
  };
}

function roundOf(p: XyMm): number {
  const [x, y] = p;
  return [x, WIDTH + y, 2 * WIDTH + HEIGHT - x, 2 * (WIDTH + HEIGHT) - y][sideOf(p)]!;
}

function checkPlane(net: Net): void {
  // Euler for one connected net: V - E + F = 2, with the outside face.
  expect(net.joints.length - net.leads.length + net.pieces.length + 1).toBe(2);
  const area = net.pieces.reduce((sum, piece) => sum + piece.areaMm2, 0);
  expect(Math.abs(area - WIDTH * HEIGHT)).toBeLessThan(0.01 * net.pieces.length);
  const ends = new Map(net.joints.map(({ jointId }) => [jointId, 0]));
  for (const { fromJointId, toJointId } of net.leads) {
    ends.set(fromJointId, ends.get(fromJointId)! + 1);
    ends.set(toJointId, ends.get(toJointId)! + 1);
  }
  expect(net.joints.every(({ jointId, degree }) => ends.get(jointId) === degree)).toBe(true);
}

describe('a random arrangement of leads', () => {
  // n chords of a convex region with k crossings, no three through one point, cut it into
  // 1 + n + k pieces (Euler; textbook combinatorics).
  it('has 1 + chords + crossings pieces that fill the panel', () => {
    fc.assert(
      fc.property(chords, (lines) => {
        const drawn = arrange(lines);
        fc.pre(drawn !== null);
        const net = buildNet(drawn.sketch, options);
        expect(net.pieces).toHaveLength(1 + drawn.chords + drawn.crossings);
        checkPlane(net);
        for (const piece of net.pieces) {
          expect(piece.sightAreaMm2).toBeLessThanOrEqual(
            Math.max(0, ringAreaMm2(piece.cutRingMm)) + 0.5,
          );
          expect(ringAreaMm2(piece.centreRingMm)).toBeCloseTo(piece.areaMm2, 1);
        }
        expect(readNet(netJson(net))).toEqual(net);
      }),
      { numRuns: 60 },
    );
  });

  it('stays one piece under straps, and whole round broken leads', () => {
    fc.assert(
      fc.property(chords, fc.constantFrom<LeadKind>('strap', 'broken'), (lines, kind) => {
        const drawn = arrange(lines);
        fc.pre(drawn !== null && lines.length > 1);
        const plain = arrange(lines.slice(1));
        fc.pre(plain !== null);
        // The first chord lies on a face only, or ends in the glass after its first stretch.
        const sketch = drawn.sketch;
        const isFirst = (lead: SketchLead) =>
          lead.kind !== 'outer' &&
          onChord(lead.lineMm[0]!, lines[0]!) &&
          onChord(lead.lineMm[1]!, lines[0]!);
        const leads = sketch.leads.flatMap((lead): SketchLead[] => {
          if (!isFirst(lead)) return [lead];
          if (kind === 'strap') return [{ ...lead, kind }];
          return [];
        });
        const net = buildNet({ ...sketch, leads }, options);
        expect(net.pieces).toHaveLength(1 + plain.chords + plain.crossings);
        const area = net.pieces.reduce((sum, piece) => sum + piece.areaMm2, 0);
        expect(Math.abs(area - WIDTH * HEIGHT)).toBeLessThan(0.01 * net.pieces.length);
        if (kind === 'strap') {
          const straps = net.leads.filter((lead) => lead.kind === 'strap');
          expect(
            straps.every((one) => one.leftPieceId !== null && one.leftPieceId === one.rightPieceId),
          ).toBe(true);
        }
      }),
      { numRuns: 40 },
    );
  });

  it('takes a broken lead that ends anywhere in a piece without a change of pieces', () => {
    fc.assert(
      fc.property(chords, fc.double({ min: 0.2, max: 0.8, noNaN: true }), (lines, share) => {
        const drawn = arrange(lines);
        fc.pre(drawn !== null);
        const before = buildNet(drawn.sketch, options);
        const piece = before.pieces.reduce((a, b) => (b.labelRadiusMm > a.labelRadiusMm ? b : a));
        const from = drawn.sketch.nodes.findIndex(({ xyMm }) =>
          piece.centreRingMm.some((p) => p[0] === xyMm[0] && p[1] === xyMm[1]),
        );
        const start = drawn.sketch.nodes[from]!.xyMm;
        const tip: XyMm = [
          start[0] + share * (piece.labelMm[0] - start[0]),
          start[1] + share * (piece.labelMm[1] - start[1]),
        ];
        const broken: SketchLead = {
          ...drawn.sketch.leads[0]!,
          from,
          to: drawn.sketch.nodes.length,
          kind: 'broken',
          lineMm: [start, tip],
        };
        const after = buildNet(
          { nodes: [...drawn.sketch.nodes, { xyMm: tip }], leads: [...drawn.sketch.leads, broken] },
          { ...options, numbering: { earlier: before } },
        );
        expect(after.pieces.map(({ pieceId }) => pieceId)).toEqual(
          before.pieces.map(({ pieceId }) => pieceId),
        );
        const open = after.leads.filter(({ kind }) => kind === 'broken');
        expect(open).toHaveLength(1);
        expect(open[0]!.leftPieceId).toBe(piece.pieceId);
        expect(after.joints.filter(({ degree }) => degree === 1)).toHaveLength(1);
      }),
      { numRuns: 30 },
    );
  });

  it('keeps pieces and areas when a lead gets a bend of degree 2', () => {
    fc.assert(
      fc.property(chords, fc.nat(), (lines, pick) => {
        const drawn = arrange(lines);
        fc.pre(drawn !== null);
        const { nodes, leads } = drawn.sketch;
        const at = pick % leads.length;
        const { from, to, lineMm } = leads[at]!;
        const middle: XyMm = [
          Math.round(500 * (lineMm[0]![0] + lineMm[1]![0])) / 1000,
          Math.round(500 * (lineMm[0]![1] + lineMm[1]![1])) / 1000,
        ];
        const bend = nodes.length;
        const halves: SketchLead[] = [
          { ...leads[at]!, from, to: bend, lineMm: [lineMm[0]!, middle] },
          { ...leads[at]!, from: bend, to, lineMm: [middle, lineMm[1]!] },
        ];
        const net = buildNet(
          {
            nodes: [...nodes, { xyMm: middle }],
            leads: [...leads.filter((_, i) => i !== at), ...halves],
          },
          options,
        );
        checkPlane(net);
        expect(net.pieces).toHaveLength(1 + drawn.chords + drawn.crossings);
      }),
      { numRuns: 30 },
    );
  });
});

function onChord(p: XyMm, { a, b }: Chord): boolean {
  return distanceToSegmentMm(p, a, b) < 0.01;
}

describe('curves of a built net', () => {
  it('begin and end at the joints and stay within 0.15 mm, whatever the leads', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -14, max: 14, noNaN: true }), { minLength: 4, maxLength: 4 }),
        (bows) => {
          const corners: XyMm[] = [
            [0, 0],
            [WIDTH, 0],
            [WIDTH, HEIGHT],
            [0, HEIGHT],
          ];
          const leads = corners.map((a, i): SketchLead => {
            const b = corners[(i + 1) % 4]!;
            const [nx, ny] = [-(b[1] - a[1]), b[0] - a[0]];
            const length = Math.hypot(nx, ny);
            const lineMm = Array.from({ length: 101 }, (_, k): XyMm => {
              const t = k / 100;
              const off = (bows[i]! * Math.sin(Math.PI * t) * (1 + t)) / length;
              return [a[0] + t * (b[0] - a[0]) + off * nx, a[1] + t * (b[1] - a[1]) + off * ny];
            });
            return {
              from: i,
              to: (i + 1) % 4,
              kind: 'outer',
              lineMm,
              faceWidthMm: 8,
              widthSpreadMm: 0.2,
              confidenceP: 1,
              doubts: [],
            };
          });
          const net = buildNet({ nodes: corners.map((xyMm) => ({ xyMm })), leads }, options);
          for (const lead of net.leads) {
            expect(lead.curve!.at(-1)!.toMm).toEqual(lead.lineMm.at(-1));
            const points = curvePoints(leadCurve(lead), 0.005);
            const off = (p: XyMm, line: readonly XyMm[]) =>
              Math.min(...line.slice(1).map((q, i) => distanceToSegmentMm(p, line[i]!, q)));
            expect(Math.max(...lead.lineMm.map((p) => off(p, points)))).toBeLessThanOrEqual(0.15);
            expect(Math.max(...points.map((p) => off(p, lead.lineMm)))).toBeLessThanOrEqual(0.15);
            expect(Math.abs(polylineLengthMm(points) - polylineLengthMm(lead.lineMm))).toBeLessThan(
              0.3,
            );
          }
        },
      ),
      { numRuns: 20 },
    );
  });
});

describe('a plated panel', () => {
  it('has a net of its own on the back, in the same frame', () => {
    const drawn = arrange([{ a: [200, 0], b: [200, HEIGHT], kind: 'came' }])!;
    const front = buildNet(drawn.sketch, options);
    const back = buildNet(arrange([])!.sketch, { ...options, layer: 'back' });
    expect([front.layer, back.layer]).toEqual(['front', 'back']);
    expect(back.pieces).toHaveLength(1);
    expect(back.outlineMm).toEqual(front.outlineMm);
    expect(ringsAreaMm2([back.pieces[0]!.centreRingMm])).toBe(WIDTH * HEIGHT);
  });
});
