import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { type BuildNetOptions, buildNet } from './build-net.js';
import { intersectRings, ringsAreaMm2, subtractRings } from './clip.js';
import { lozengeSketch } from './lozenge-sketch.js';
import type { LeadKind, Net, NetSketch, XyMm } from './net.js';
import { NetError } from './net-error.js';
import { polylineLengthMm, ringAreaMm2 } from './ring.js';

const options: BuildNetOptions = {
  face: 'inside',
  layer: 'front',
  surface: 'plan',
  madeBy: { name: 'test', version: '1' },
};

type Drawn = [from: number, to: number, kind?: LeadKind, widthMm?: number, via?: XyMm[]];

function sketchOf(nodes: XyMm[], drawn: Drawn[]): NetSketch {
  return {
    nodes: nodes.map((xyMm) => ({ xyMm })),
    leads: drawn.map(([from, to, kind = 'came', faceWidthMm = 6, via = []]) => ({
      from,
      to,
      kind,
      lineMm: [nodes[from]!, ...via, nodes[to]!],
      faceWidthMm,
      widthSpreadMm: 0.2,
      confidenceP: 1,
      doubts: [],
    })),
  };
}

/** A 100 × 80 rectangle of 12 mm outer came, corners 0-3 clockwise from top left. */
const FRAME_NODES: XyMm[] = [
  [0, 0],
  [100, 0],
  [100, 80],
  [0, 80],
];
const FRAME: Drawn[] = [
  [0, 1, 'outer', 12],
  [1, 2, 'outer', 12],
  [2, 3, 'outer', 12],
  [3, 0, 'outer', 12],
];

function faultOf(run: () => unknown): NetError {
  try {
    run();
  } catch (error) {
    if (error instanceof NetError) return error;
    throw error;
  }
  throw new Error('nothing was refused');
}

const lengthMm = (net: Net) => net.leads.reduce((sum, l) => sum + polylineLengthMm(l.lineMm), 0);

describe('one piece in a frame', () => {
  const net = buildNet(sketchOf(FRAME_NODES, FRAME), {
    ...options,
    heartMm: 1.8,
    clearanceMm: 0.3,
  });
  const piece = net.pieces[0]!;

  // Plane geometry: everything below is width × height.
  it('has centre, sight and cut areas of rectangles', () => {
    expect(net.pieces).toHaveLength(1);
    expect(piece.areaMm2).toBe(8000);
    expect(piece.sightAreaMm2).toBeCloseTo(88 * 68, 2);
    expect(ringAreaMm2(piece.cutRingMm)).toBeCloseTo((100 - 2.4) * (80 - 2.4), 2);
  });

  it('has the outline half a face outside, corners mitred', () => {
    expect(ringAreaMm2(net.outlineMm)).toBeCloseTo(112 * 92, 2);
  });

  it('is labelled in the middle, half the sight height from the edge', () => {
    expect(piece.labelMm).toEqual([50, 40]);
    expect(Math.abs(piece.labelRadiusMm - 34)).toBeLessThanOrEqual(0.2);
  });
});

describe('leads of different widths', () => {
  // A T: 10 mm came across at y = 40, 4 mm came from its middle down to the frame.
  const nodes: XyMm[] = [...FRAME_NODES, [0, 40], [100, 40], [50, 40], [50, 80]];
  const drawn: Drawn[] = [
    [0, 1, 'outer', 12],
    [1, 5, 'outer', 12],
    [5, 2, 'outer', 12],
    [2, 7, 'outer', 12],
    [7, 3, 'outer', 12],
    [3, 4, 'outer', 12],
    [4, 0, 'outer', 12],
    [4, 6, 'came', 10],
    [6, 5, 'came', 10],
    [6, 7, 'came', 4],
  ];
  const net = buildNet(sketchOf(nodes, drawn), options);

  it('takes half of each lead from the sides it is on', () => {
    const areas = net.pieces.map((piece) => piece.sightAreaMm2);
    // Below: 50 - 6 - 2 wide, 40 - 5 - 6 high. Above: 100 - 12 wide, 40 - 6 - 5 high.
    expect(areas[0]).toBeCloseTo(42 * 29, 2);
    expect(areas[1]).toBeCloseTo(42 * 29, 2);
    expect(areas[2]).toBeCloseTo(88 * 29, 2);
  });

  it('numbers from the bottom row, left to right', () => {
    expect(net.pieces.map(({ pieceId, labelMm: [x, y] }) => [pieceId, x < 50, y > 40])).toEqual([
      ['1', true, true],
      ['2', false, true],
      ['3', expect.any(Boolean), false],
    ]);
  });

  it('names the pieces on the left and right hand of each lead', () => {
    const mullion = net.leads.find((lead) => lead.faceWidthMm === 4)!;
    const down = mullion.lineMm[0]![1] < mullion.lineMm[1]![1];
    // Going down the drawing, the right hand is at smaller x.
    expect(mullion.rightPieceId).toBe(down ? '1' : '2');
    expect(mullion.leftPieceId).toBe(down ? '2' : '1');
    const top = net.leads.find((l) => l.lineMm.every(([, y]) => y === 0))!;
    expect([top.leftPieceId, top.rightPieceId].sort()).toEqual(['3', null]);
  });

  it('groups widths into classes with lengths by geometry', () => {
    expect(net.widthClasses).toEqual([
      { widthMm: 4, lengthMm: 40, leads: 1 },
      { widthMm: 10, lengthMm: 100, leads: 2 },
      { widthMm: 12, lengthMm: 360, leads: 7 },
    ]);
    expect(net.leads.every((lead) => lead.widthClassP > 0.9)).toBe(true);
  });
});

describe('a piece pinched by its leads', () => {
  it('has two sight rings and one centre ring', () => {
    const nodes: XyMm[] = [
      [0, 0],
      [100, 0],
      [100, 40],
      [0, 40],
    ];
    // A waist 5 mm wide between 6 mm leads: nothing is seen of it.
    const drawn: Drawn[] = [
      [0, 1, 'came', 6, [[50, 17.5]]],
      [1, 2],
      [2, 3, 'came', 6, [[50, 22.5]]],
      [3, 0],
    ];
    const net = buildNet(sketchOf(nodes, drawn), options);
    expect(net.pieces[0]!.sightRingsMm).toHaveLength(2);
  });
});

describe('lozenge grid against plane geometry', () => {
  const grid = { columns: 4, rows: 5, widthMm: 90, heightMm: 130, faceWidthMm: 6, outerFaceMm: 10 };
  const net = buildNet(lozengeSketch(grid), options);
  const side = Math.hypot(45, 65);

  it('has whole, half and quarter quarries', () => {
    // Whole: c·r + (c-1)(r-1); halves along the edges 2(c-1) + 2(r-1); quarters 4.
    const whole = 4 * 5 + 3 * 4;
    const half = 2 * 3 + 2 * 4;
    expect(net.pieces).toHaveLength(whole + half + 4);
    const areas = net.pieces.map((piece) => piece.areaMm2).sort((a, b) => a - b);
    const lozenge = (90 * 130) / 2;
    expect(areas.slice(0, 4)).toEqual([lozenge / 4, lozenge / 4, lozenge / 4, lozenge / 4]);
    expect(areas.slice(4, 4 + half).every((area) => area === lozenge / 2)).toBe(true);
    expect(areas.slice(4 + half).every((area) => area === lozenge)).toBe(true);
  });

  it('has the area of its rectangle and the lead of its diagonals and frame', () => {
    const area = net.pieces.reduce((sum, piece) => sum + piece.areaMm2, 0);
    expect(area).toBeCloseTo(4 * 90 * (5 * 130), 6);
    // Each whole lozenge cell c·r has 4 half-diagonals inside it.
    expect(lengthMm(net)).toBeCloseTo(4 * 5 * 4 * side + 2 * (360 + 650), 1);
  });

  it('has the sight size of a lozenge moved in by half a face', () => {
    // A rhombus of diagonals p, q and side s has the inradius r = area / 2s; moved
    // in by d it keeps its angles, so its area scales by ((r - d) / r)².
    const inradius = 5850 / (2 * side);
    const whole = net.pieces.filter((piece) => piece.areaMm2 === 5850);
    for (const piece of whole) {
      expect(piece.sightAreaMm2).toBeCloseTo(5850 * ((inradius - 3) / inradius) ** 2, 0);
      expect(piece.labelRadiusMm).toBeGreaterThan(inradius - 3 - 0.25);
    }
  });

  it('counts joints and meets Euler: pieces = E - V + 1', () => {
    // The points of the lozenges are the middles of the cells' edges.
    const middles = 4 * 6 + 5 * 5;
    const corners = 4;
    expect(net.joints).toHaveLength(middles + corners);
    expect(net.leads.length - net.joints.length + 1).toBe(net.pieces.length);
  });
});

// Source of the figures: fixtures/nets, written by a generator that knows nothing of this code.
describe.each(['easy', 'medium'])('generated panel "%s"', (name) => {
  const truth = JSON.parse(
    readFileSync(new URL(`../../../fixtures/nets/generated-${name}.json`, import.meta.url), 'utf8'),
  ) as {
    panel: { outline: XyMm[] };
    junctions: XyMm[];
    leads: { from: number; to: number; kind: string; widthMm: number; lineMm: XyMm[] }[];
    pieces: { id: number; areaMm2: number; cutAreaMm2: number }[];
    adjacency: [number, number][];
    leadLengthTotalMm: number;
  };
  const net = buildNet(
    {
      nodes: truth.junctions.map((xyMm) => ({ xyMm })),
      leads: truth.leads.map(({ from, to, kind, widthMm, lineMm }) => ({
        from,
        to,
        kind: kind === 'outer' || kind === 'mending' ? kind : 'came',
        lineMm,
        faceWidthMm: widthMm,
        widthSpreadMm: 0.1,
        confidenceP: 1,
        doubts: [],
      })),
    },
    { ...options, heartMm: 1.8, clearanceMm: 0 },
  );

  it('has its pieces with their areas, along centre lines and as cut', () => {
    const sorted = (areas: number[]) => areas.toSorted((a, b) => a - b);
    const expected = sorted(truth.pieces.map((piece) => piece.areaMm2));
    const areas = sorted(net.pieces.map((piece) => piece.areaMm2));
    expect(areas).toHaveLength(expected.length);
    areas.forEach((area, i) => {
      expect(Math.abs(area - expected[i]!)).toBeLessThan(0.5);
    });
    const cut = sorted(truth.pieces.map((piece) => piece.cutAreaMm2));
    const cuts = sorted(net.pieces.map((piece) => ringAreaMm2(piece.cutRingMm)));
    // Corners: mitred there and here; 0.2 % for the other program's own rounding of joins.
    cuts.forEach((area, i) => {
      expect(Math.abs(area / cut[i]! - 1)).toBeLessThan(0.002);
    });
  });

  it('has its neighbours', () => {
    const pairs = (list: (readonly [unknown, unknown])[]) =>
      new Set(list.map(([a, b]) => [String(a), String(b)].sort().join('|'))).size;
    const mine = net.leads
      .filter((lead) => lead.leftPieceId !== null && lead.rightPieceId !== null)
      .map((lead) => [lead.leftPieceId, lead.rightPieceId] as const);
    expect(pairs(mine)).toBe(pairs(truth.adjacency));
  });

  it('has its lead length and outline', () => {
    expect(Math.abs(lengthMm(net) - truth.leadLengthTotalMm)).toBeLessThan(1);
    const outline = [truth.panel.outline];
    const apart =
      ringsAreaMm2(subtractRings(outline, [net.outlineMm])) +
      ringsAreaMm2(subtractRings([net.outlineMm], outline));
    // Spread over the outline's length: how far the two lie apart on average.
    expect(apart / polylineLengthMm(truth.panel.outline)).toBeLessThan(0.1);
  });

  it('has each sight ring in its cut ring in its centre ring', () => {
    for (const piece of net.pieces) {
      const within = (inner: XyMm[][], outer: XyMm[][]) =>
        ringsAreaMm2(intersectRings(inner, outer)) - ringsAreaMm2(inner);
      const sight = piece.sightRingsMm.map((ring) => [...ring]);
      expect(within(sight, [[...piece.cutRingMm]])).toBeGreaterThan(-0.5);
      expect(within([[...piece.cutRingMm]], [[...piece.centreRingMm]])).toBeGreaterThan(-0.5);
    }
  });
});

describe('leads that bound nothing', () => {
  const inside: XyMm[] = [...FRAME_NODES, [30, 40], [60, 40], [0, 40]];
  const frame: Drawn[] = [
    [0, 1, 'outer'],
    [1, 2, 'outer'],
    [2, 3, 'outer'],
    [3, 6, 'outer'],
    [6, 0, 'outer'],
  ];

  it('refuses a lead that ends in the glass, and says where', () => {
    const fault = faultOf(() => buildNet(sketchOf(inside, [...frame, [6, 4]]), options));
    expect(fault).toMatchObject({ fault: 'dangling-lead', xyMm: [30, 40] });
  });

  it('keeps a broken one: the piece stays one, and it covers glass', () => {
    const net = buildNet(sketchOf(inside, [...frame, [6, 4, 'broken', 6]]), options);
    expect(net.pieces).toHaveLength(1);
    const broken = net.leads.find((lead) => lead.kind === 'broken')!;
    expect([broken.leftPieceId, broken.rightPieceId]).toEqual(['1', '1']);
    // 94 × 74 less the part of a 6 mm band with a round end that lies inside it.
    expect(net.pieces[0]!.sightAreaMm2).toBeCloseTo(94 * 74 - (27 * 6 + (Math.PI * 9) / 2), 0);
    expect(net.pieces[0]!.areaMm2).toBe(8000);
  });

  it('lets a strap lie on a piece without dividing it or taking glass away', () => {
    const nodes: XyMm[] = [...inside, [100, 40]];
    const drawn: Drawn[] = [
      [0, 1, 'outer'],
      [1, 7, 'outer'],
      [7, 2, 'outer'],
      [2, 3, 'outer'],
      [3, 6, 'outer'],
      [6, 0, 'outer'],
      [6, 7, 'strap', 8],
    ];
    const net = buildNet(sketchOf(nodes, drawn), options);
    expect(net.pieces).toHaveLength(1);
    expect(net.pieces[0]!.sightAreaMm2).toBeCloseTo(94 * 74, 1);
    expect(net.joints.filter((joint) => joint.degree === 3)).toHaveLength(2);
    const mending = drawn.map((d): Drawn => (d[2] === 'strap' ? [d[0], d[1], 'mending', 8] : d));
    expect(buildNet(sketchOf(nodes, mending), options).pieces).toHaveLength(2);
  });

  it('holds a ring of lead that lies free in a piece as a hole', () => {
    const nodes: XyMm[] = [...FRAME_NODES, [40, 30], [60, 30], [60, 50], [40, 50]];
    const jewel: Drawn[] = [
      [4, 5],
      [5, 6],
      [6, 7],
      [7, 4],
    ];
    const net = buildNet(sketchOf(nodes, [...FRAME, ...jewel]), options);
    expect(net.pieces.map((piece) => piece.areaMm2).sort((a, b) => a - b)).toEqual([400, 7600]);
    const ground = net.pieces.find((piece) => piece.areaMm2 === 7600)!;
    // Frame 88 × 68; the jewel's lead covers 26 × 26 with corners rounded by 3 mm.
    expect(ground.sightAreaMm2).toBeCloseTo(88 * 68 - (26 * 26 - (4 - Math.PI) * 9), 0);
  });

  it.each([
    {
      what: 'two panels',
      nodes: [
        [200, 0],
        [220, 0],
        [220, 20],
      ] as XyMm[],
      drawn: [
        [4, 5],
        [5, 6],
        [6, 4],
      ] as Drawn[],
      fault: 'separate-parts',
    },
    {
      what: 'a ring held by one lead',
      nodes: [
        [40, 30],
        [60, 30],
        [50, 50],
      ] as XyMm[],
      drawn: [
        [4, 5],
        [5, 6],
        [6, 4],
        [0, 4],
      ] as Drawn[],
      fault: 'bridge-lead',
    },
    {
      what: 'a ring that hangs at one joint',
      nodes: [
        [40, 30],
        [60, 30],
      ] as XyMm[],
      drawn: [
        [0, 4],
        [4, 5],
        [5, 0],
      ] as Drawn[],
      fault: 'ring-pinched',
    },
    {
      what: 'leads that cross',
      nodes: [
        [50, -10],
        [50, 90],
      ] as XyMm[],
      drawn: [[4, 5]] as Drawn[],
      fault: 'leads-cross',
    },
    {
      what: 'one lead drawn twice',
      nodes: [] as XyMm[],
      drawn: [[0, 1]] as Drawn[],
      fault: 'leads-overlap',
    },
    {
      what: 'a lead to nowhere',
      nodes: [] as XyMm[],
      drawn: [[0, 2, 'came', 0]] as Drawn[],
      fault: 'bad-sketch',
    },
  ])('refuses $what', ({ nodes, drawn, fault }) => {
    const sketch = sketchOf([...FRAME_NODES, ...nodes], [...FRAME, ...drawn]);
    expect(faultOf(() => buildNet(sketch, options)).fault).toBe(fault);
  });

  it('refuses leads without a piece', () => {
    const open = sketchOf(FRAME_NODES, [
      [0, 1, 'broken'],
      [1, 2, 'broken'],
    ]);
    expect(faultOf(() => buildNet(open, options)).fault).toBe('no-piece');
  });
});

describe('any bent grid', () => {
  /** Columns × rows of cells with every joint moved, some inner leads left out, a bend in each. */
  const grid = fc
    .record({
      columns: fc.integer({ min: 1, max: 4 }),
      rows: fc.integer({ min: 1, max: 4 }),
      moves: fc.array(fc.integer({ min: -12, max: 12 }), { minLength: 50, maxLength: 50 }),
      widths: fc.array(fc.integer({ min: 3, max: 12 }), { minLength: 9, maxLength: 9 }),
      order: fc.array(fc.nat(), { minLength: 60, maxLength: 60 }),
    })
    .map(({ columns, rows, moves, widths, order }) => {
      const at = (c: number, r: number) => r * (columns + 1) + c;
      const nodes: XyMm[] = [];
      for (let r = 0; r <= rows; r++) {
        for (let c = 0; c <= columns; c++) {
          const k = at(c, r);
          nodes.push([c * 60 + moves[k % 50]!, r * 60 + moves[(k * 7 + 3) % 50]!]);
        }
      }
      const drawn: Drawn[] = [];
      const add = (a: number, b: number) => {
        const [p, q] = [nodes[a]!, nodes[b]!];
        const bend = moves[(a * 5 + b) % 50]! / 3;
        const via: XyMm = [(p[0] + q[0]) / 2 + bend, (p[1] + q[1]) / 2 + bend];
        drawn.push([a, b, 'came', widths[drawn.length % 9]!, [via]]);
      };
      for (let r = 0; r <= rows; r++) for (let c = 0; c < columns; c++) add(at(c, r), at(c + 1, r));
      for (let c = 0; c <= columns; c++) for (let r = 0; r < rows; r++) add(at(c, r), at(c, r + 1));
      return { columns, rows, nodes, drawn, order };
    });

  it('has c × r pieces whose areas add up, and sight in cut in centre', () => {
    fc.assert(
      fc.property(grid, ({ columns, rows, nodes, drawn }) => {
        const net = buildNet(sketchOf(nodes, drawn), options);
        expect(net.pieces).toHaveLength(columns * rows);
        expect(net.joints.length - net.leads.length + net.pieces.length + 1).toBe(2);
        for (const piece of net.pieces) {
          const sight = piece.sightRingsMm.map((ring) => [...ring]);
          const lost = (inner: XyMm[][], outer: readonly XyMm[]) =>
            ringsAreaMm2(inner) - ringsAreaMm2(intersectRings(inner, [[...outer]]));
          // Rings are stored to 0.01 mm: a strip of that width round a piece of 60 mm.
          expect(lost(sight, piece.cutRingMm)).toBeLessThan(2);
          expect(lost([[...piece.cutRingMm]], piece.centreRingMm)).toBeLessThan(2);
          expect(piece.sightAreaMm2).toBeLessThan(piece.areaMm2);
        }
      }),
      { numRuns: 40 },
    );
  });

  it('does not depend on the order or direction in which it was drawn', () => {
    fc.assert(
      fc.property(grid, ({ nodes, drawn, order }) => {
        const shuffled = nodes
          .map((xyMm, i) => ({ xyMm, i, key: order[i % 60]! }))
          .sort((a, b) => a.key - b.key || a.i - b.i);
        const place = new Map(shuffled.map(({ i }, at) => [i, at]));
        const other = drawn
          .map((d, i) => ({ d, key: order[(i * 11 + 5) % 60]! }))
          .sort((a, b) => a.key - b.key)
          .map(
            ({ d: [from, to, kind = 'came', width = 6, via = []] }, i): Drawn =>
              i % 2 === 0
                ? [place.get(from)!, place.get(to)!, kind, width, via]
                : [place.get(to)!, place.get(from)!, kind, width, via.toReversed()],
          );
        const one = buildNet(sketchOf(nodes, drawn), options);
        const two = buildNet(
          sketchOf(
            shuffled.map(({ xyMm }) => xyMm),
            other,
          ),
          options,
        );
        expect(two).toEqual(one);
      }),
      { numRuns: 40 },
    );
  });
});
