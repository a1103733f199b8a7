import { type BuildNetOptions, buildNet } from './build-net.js';
import { lozengeSketch } from './lozenge-sketch.js';
import type { Net, NetSketch, XyMm } from './net.js';
import { NetError } from './net-error.js';
import { netSketch } from './net-sketch.js';
import { type Numbering, numberPieces } from './number-pieces.js';
import { isInsideRing, ringAreaMm2 } from './ring.js';

const options: BuildNetOptions = {
  face: 'inside',
  layer: 'front',
  surface: 'plan',
  madeBy: { name: 'test', version: '1' },
};

/** Upright quarries: columns × rows of 60 × 80 mm, joints moved by `jitter`, some leads left out. */
function grid(
  columns: number,
  rows: number,
  jitter: (c: number, r: number) => XyMm = () => [0, 0],
  without: string[] = [],
): NetSketch {
  const nodes: { xyMm: XyMm }[] = [];
  for (let r = 0; r <= rows; r++) {
    for (let c = 0; c <= columns; c++) {
      const [dx, dy] = jitter(c, r);
      nodes.push({ xyMm: [c * 60 + dx, r * 80 + dy] });
    }
  }
  const leads: NetSketch['leads'][number][] = [];
  const add = (name: string, from: number, to: number) => {
    if (without.includes(name)) return;
    leads.push({
      from,
      to,
      kind: 'came',
      lineMm: [nodes[from]!.xyMm, nodes[to]!.xyMm],
      faceWidthMm: 6,
      widthSpreadMm: 0.1,
      confidenceP: 1,
      doubts: [],
    });
  };
  const at = (c: number, r: number) => r * (columns + 1) + c;
  for (let r = 0; r <= rows; r++) {
    for (let c = 0; c < columns; c++) add(`h${c},${r}`, at(c, r), at(c + 1, r));
  }
  for (let r = 0; r < rows; r++) {
    for (let c = 0; c <= columns; c++) add(`v${c},${r}`, at(c, r), at(c, r + 1));
  }
  return { nodes, leads };
}

const build = (sketch: NetSketch, numbering?: Numbering): Net =>
  buildNet(sketch, { ...options, ...(numbering && { numbering }) });
const pieceAt = (net: Net, place: XyMm) =>
  net.pieces.find((piece) => isInsideRing(place, piece.centreRingMm))!.pieceId;

describe('a first drawing', () => {
  it('is numbered in rows from the bottom, left to right', () => {
    const net = build(grid(3, 2, (c, r) => [((c * 7 + r * 3) % 5) - 2, ((c * 5 + r) % 7) - 3]));
    const named = [
      [30, 120],
      [90, 120],
      [150, 120],
      [30, 40],
      [90, 40],
      [150, 40],
    ].map((place) => pieceAt(net, place as unknown as XyMm));
    expect(named).toEqual(['1', '2', '3', '4', '5', '6']);
  });

  it('numbers lozenges row by row although the rows interlock', () => {
    const net = build(
      lozengeSketch({
        columns: 2,
        rows: 1,
        widthMm: 100,
        heightMm: 140,
        faceWidthMm: 5,
        outerFaceMm: 5,
      }),
    );
    // Bottom: quarter, half, quarter; middle: two whole; top: quarter, half, quarter.
    expect(pieceAt(net, [4, 136])).toBe('1');
    expect(pieceAt(net, [100, 130])).toBe('2');
    expect(pieceAt(net, [196, 136])).toBe('3');
    expect(pieceAt(net, [50, 70])).toBe('4');
    expect(pieceAt(net, [150, 70])).toBe('5');
    expect(pieceAt(net, [100, 10])).toBe('7');
  });

  it('names leads and joints from the bottom too', () => {
    const net = build(grid(1, 1));
    expect(net.joints.map(({ jointId, xyMm }) => [jointId, ...xyMm])).toEqual([
      ['J1', 0, 80],
      ['J2', 60, 80],
      ['J3', 0, 0],
      ['J4', 60, 0],
    ]);
    expect(net.leads[0]!.lineMm.every(([, y]) => y === 80)).toBe(true);
  });
});

describe('a later drawing of the same panel', () => {
  const earlier = build(grid(4, 4));

  it('keeps every number when the joints move by 3 mm', () => {
    const moved = grid(4, 4, (c, r) => [((c + 2 * r) % 3) * 1.5, ((2 * c + r) % 3) * -1.5]);
    const net = build(moved, { earlier });
    for (let c = 0; c < 4; c++) {
      for (let r = 0; r < 4; r++) {
        const place: XyMm = [c * 60 + 30, r * 80 + 40];
        expect(pieceAt(net, place)).toBe(pieceAt(earlier, place));
      }
    }
    const ends = (one: Net) => one.leads.map((l) => [l.leadId, l.fromJointId, l.toJointId].sort());
    expect(ends(net)).toEqual(ends(earlier));
  });

  it('keeps the profile that was gauged on a lead', () => {
    const gauged = {
      ...earlier,
      leads: earlier.leads.map((lead, i) => (i === 7 ? { ...lead, profile: 'H, flat' } : lead)),
    };
    const later = build(
      grid(4, 4, (c) => [c % 2, 0]),
      { earlier: gauged },
    );
    expect(later.leads.filter((lead) => lead.profile !== null).map((l) => l.leadId)).toEqual([
      earlier.leads[7]!.leadId,
    ]);
  });

  it('forgets a profile that a person took back, and keeps one that nobody spoke of', () => {
    const gauged = {
      ...earlier,
      leads: earlier.leads.map((lead) => ({ ...lead, profile: 'H, flat' })),
    };
    const sketch = netSketch(gauged);
    const leads = sketch.leads.map((lead, i) => (i === 0 ? { ...lead, profile: null } : lead));
    const later = build({ ...sketch, leads }, { earlier: gauged });
    expect(later.leads.filter(({ profile }) => profile === null)).toHaveLength(1);
  });

  it('cuts glass by a profile that the earlier drawing knew', () => {
    const profiles = [
      {
        name: 'thick heart',
        shape: 'H',
        leaf: 'flat',
        faceMm: 6,
        leafMm: 1,
        heartHeightMm: 5,
        heartMm: 4,
      },
    ] as const;
    const gauged = {
      ...build(grid(1, 1)),
      profiles,
      leads: build(grid(1, 1)).leads.map((lead) => ({ ...lead, profile: 'thick heart' })),
    };
    const { pieces } = build(grid(1, 1), { earlier: gauged });
    // 60 × 80 mm, half of a 4 mm heart and 0.25 mm of air off each side.
    expect(ringAreaMm2(pieces[0]!.cutRingMm)).toBeCloseTo(55.5 * 75.5, 1);
  });

  it('is equal when it is taken apart and built again', () => {
    const net = build(grid(4, 3, (c, r) => [((c * 7 + r * 3) % 5) - 2, ((c * 5 + r) % 7) - 3]));
    expect(build(netSketch(net))).toEqual(net);
    expect(build(netSketch(net), { earlier: net })).toEqual(net);
  });

  it('gives new numbers after the highest when a lead was found that had been missed', () => {
    const missed = build(grid(4, 4, undefined, ['v2,3']));
    const { net, added, splits, gone } = numberPieces(build(grid(4, 4)), { earlier: missed });
    const wide = pieceAt(missed, [100, 280]);
    expect(splits).toHaveLength(1);
    expect(splits[0]!.earlierPieceId).toBe(wide);
    expect(splits[0]!.pieceIds).toContain('16');
    expect(added.concat(gone)).toContain('16');
    for (const piece of missed.pieces) {
      if (piece.pieceId === wide) continue;
      expect(pieceAt(net, piece.labelMm)).toBe(piece.pieceId);
    }
  });

  it('tells which pieces became one, and never uses the lost number again', () => {
    const joined = build(grid(4, 4, undefined, ['v2,3']));
    const { net, merges } = numberPieces(joined, { earlier });
    const [left, right] = [pieceAt(earlier, [90, 280]), pieceAt(earlier, [150, 280])];
    expect(merges).toEqual([{ earlierPieceIds: [left, right], pieceId: pieceAt(net, [100, 280]) }]);
    const third = build(grid(4, 4), { earlier: net, retiredNumbers: [17, 18] });
    expect(Math.max(...third.pieces.map((piece) => piece.number))).toBe(19);
  });
});

describe('the same panel rubbed from outside', () => {
  it('has its numbers in its places once it is turned over, and anew from the other side', () => {
    const jitter = (c: number, r: number): XyMm => [
      ((c * 7 + r * 3) % 5) - 2,
      ((c * 5 + r) % 7) - 3,
    ];
    const sketch = grid(4, 3, jitter);
    const over = ([x, y]: XyMm): XyMm => [240 - x, y];
    const turned = (one: NetSketch): NetSketch => ({
      nodes: one.nodes.map(({ xyMm }) => ({ xyMm: over(xyMm) })),
      leads: one.leads.map((lead) => ({ ...lead, lineMm: lead.lineMm.map(over) })),
    });
    const net = build(sketch);
    // Taken from outside and turned over: back in the panel's frame.
    const again = build(turned(turned(sketch)), { earlier: net });
    expect(again.pieces.map((piece) => [piece.pieceId, piece.labelMm])).toEqual(
      net.pieces.map((piece) => [piece.pieceId, piece.labelMm]),
    );
    // Left as seen from outside each row counts from the other end.
    const mirrored = build(turned(sketch));
    for (let r = 0; r < 3; r++) {
      for (let c = 0; c < 4; c++) {
        const place: XyMm = [c * 60 + 30, r * 80 + 40];
        const row = 4 * (2 - r);
        expect(Number(pieceAt(net, place))).toBe(row + c + 1);
        expect(Number(pieceAt(mirrored, place))).toBe(row + c + 1);
      }
    }
  });
});

describe('a person', () => {
  it('keeps a word given once through a new reading, an added lead and an erased one', () => {
    const overrides = [{ atMm: [30, 40] as const, number: 70 }];
    const said = build(grid(3, 3), { overrides });
    expect(pieceAt(said, [30, 40])).toBe('70');
    const jitter = (c: number, r: number): XyMm => [((c + r) % 3) - 1, ((2 * c + r) % 3) - 1];
    const read = build(grid(3, 3, jitter), { earlier: said });
    const erased = build(grid(3, 3, jitter, ['v2,2']), { earlier: read });
    const added = build(grid(3, 3, jitter), { earlier: erased });
    for (const net of [read, erased, added]) expect(pieceAt(net, [30, 40])).toBe('70');
    // All that no edit touched keep theirs as well.
    for (const { pieceId, labelMm } of said.pieces) {
      if (labelMm[1] < 160) expect(pieceAt(added, labelMm)).toBe(pieceId);
    }
  });

  it('says that 17 which became 17a and 17b is not gone', () => {
    const whole = build(grid(2, 1, undefined, ['v1,0']));
    const overrides = [
      { atMm: [30, 40] as const, number: 1, part: 'a' },
      { atMm: [90, 40] as const, number: 1, part: 'b' },
    ];
    const { gone, splits } = numberPieces(build(grid(2, 1)), { earlier: whole, overrides });
    expect(gone).toEqual([]);
    expect(splits).toEqual([{ earlierPieceId: '1', pieceIds: ['1a', '1b'] }]);
  });

  it('overrides a number, and the rest go round it', () => {
    const net = build(grid(2, 1), { overrides: [{ atMm: [90, 40], number: 1 }] });
    expect(pieceAt(net, [90, 40])).toBe('1');
    expect(pieceAt(net, [30, 40])).toBe('2');
  });

  it('letters the glass either side of a mending lead, and the letters stay', () => {
    const overrides = [
      { atMm: [30, 40] as const, number: 1, part: 'a' },
      { atMm: [90, 40] as const, number: 1, part: 'b' },
    ];
    const net = build(grid(2, 1), { overrides });
    expect(net.pieces.map((piece) => piece.pieceId)).toEqual(['1a', '1b']);
    const later = build(
      grid(2, 1, () => [1, 0]),
      { earlier: net },
    );
    expect(later.pieces.map((piece) => [piece.pieceId, piece.number, piece.part])).toEqual([
      ['1a', 1, 'a'],
      ['1b', 1, 'b'],
    ]);
    expect(later.leads.some((lead) => lead.leftPieceId === '1a')).toBe(true);
  });

  it.each([
    { what: 'no piece', overrides: [{ atMm: [900, 40] as const, number: 1 }] },
    { what: 'zero', overrides: [{ atMm: [30, 40] as const, number: 0 }] },
    {
      what: 'a part that is no letter',
      overrides: [{ atMm: [30, 40] as const, number: 1, part: 'A' }],
    },
    {
      what: 'one number for two pieces',
      overrides: [
        { atMm: [30, 40] as const, number: 1 },
        { atMm: [90, 40] as const, number: 1 },
      ],
    },
  ])('may not name $what', ({ overrides }) => {
    expect(() => build(grid(2, 1), { overrides })).toThrow(NetError);
  });
});
