/**
 * Pieces on sheets, held against instances whose best packing is known: Hopper and Turton 2001, class C1
 * (sixteen rectangles that fill 20 × 20 without a gap; sizes from memory, their areas add up to 400), and
 * sheets that are divided here and so are known to hold what they were divided into.
 */
import { intersectRings, ringAreaMm2, ringsAreaMm2, type XyMm } from '#libs/net';
import { type CutPiece, type Cutting, layPieces, type SheetKind, tooLargeFor } from './index.js';

const rectangle = (w: number, h: number): XyMm[] => [
  [0, 0],
  [w, 0],
  [w, h],
  [0, h],
];
const piece = (
  name: number | string,
  ringMm: XyMm[],
  grainDeg: number | null = null,
): CutPiece => ({
  piece: String(name),
  ringMm,
  grainDeg,
});
const sheet = (widthMm: number, heightMm: number, over: Partial<SheetKind> = {}): SheetKind => ({
  sheet: 'whole',
  widthMm,
  heightMm,
  grainDeg: null,
  count: 1,
  isOffcut: false,
  ...over,
});
const TIGHT = { gapMm: 0, edgeMm: 0 };

/** By another library's clipping: pieces of a sheet share no area and leave it nowhere. */
function expectApart({ sheets }: Cutting): void {
  for (const { pieces, widthMm, heightMm } of sheets) {
    for (const [i, { ringMm }] of pieces.entries()) {
      const inside = ringsAreaMm2(intersectRings([ringMm], [rectangle(widthMm, heightMm)]));
      expect(inside).toBeCloseTo(ringAreaMm2(ringMm), 1);
      for (const other of pieces.slice(i + 1)) {
        expect(ringsAreaMm2(intersectRings([ringMm], [other.ringMm]))).toBeLessThan(0.01);
      }
    }
  }
}

const C1 = '2x12 7x12 8x6 3x6 3x5 5x5 3x12 3x7 5x7 2x6 3x2 4x2 3x4 4x4 9x2 11x2'
  .split(' ')
  .map((size) => size.split('x').map(Number) as [number, number]);

it('lays C1 on a sheet that is a twentieth longer than its perfect packing', () => {
  expect(C1.reduce((sum, [w, h]) => sum + w * h, 0)).toBe(400);
  const laid = layPieces(
    C1.map(([w, h], i) => piece(i + 1, rectangle(w, h))),
    [sheet(21, 20)],
    TIGHT,
  );
  expect(laid.sheets).toHaveLength(1);
  expect(laid.sheets[0]!.pieces).toHaveLength(16);
  expect(laid.leastSheets).toBe(1);
  expectApart(laid);
});

it('fills a sheet to the edge with what it was divided into', () => {
  const twelve = Array.from({ length: 12 }, (_, i) => piece(i, rectangle(100, 200)));
  const laid = layPieces(twelve, [sheet(600, 400)], TIGHT);
  expect(laid.sheets).toHaveLength(1);
  expect(laid.sheets[0]!.usedMm2).toBe(240_000);
  expect(laid.sheets[0]!.offcut).toBeNull();
});

it('puts triangles into one another’s slopes, which their rectangles would not allow', () => {
  const triangle: XyMm[] = [
    [0, 0],
    [100, 0],
    [0, 100],
  ];
  const laid = layPieces(
    [1, 2, 3, 4].map((n) => piece(n, triangle)),
    [sheet(210, 101)],
    TIGHT,
  );
  expect(laid.sheets).toHaveLength(1);
  expectApart(laid);
});

it('keeps the gap and the edge', () => {
  const laid = layPieces(
    [1, 2].map((n) => piece(n, rectangle(100, 100))),
    [sheet(224, 120)],
    { gapMm: 4, edgeMm: 10 },
  );
  expect(laid.sheets).toHaveLength(1);
  const xs = laid.sheets[0]!.pieces.flatMap(({ ringMm }) => ringMm.map(([x]) => x));
  expect(Math.min(...xs)).toBeCloseTo(10, 3);
  expect(Math.max(...xs)).toBeCloseTo(214, 3);
  const narrower = layPieces(
    [1, 2].map((n) => piece(n, rectangle(100, 100))),
    [sheet(223, 120)],
    { gapMm: 4, edgeMm: 10 },
  );
  expect(narrower.sheets).toHaveLength(2);
  expect(narrower.missingSheets).toBe(1);
});

it('turns a piece with its streaks, and never against them', () => {
  const across = piece(1, rectangle(300, 50), 0);
  const streaked = sheet(100, 320, { grainDeg: 0 });
  expect(tooLargeFor(across, [streaked], TIGHT)?.needsMm).toEqual([300, 50]);
  const turned = layPieces([{ ...across, grainDeg: 90 }], [streaked], TIGHT);
  expect([90, 270]).toContain(turned.sheets[0]!.pieces[0]!.turnDeg);
  expect(layPieces([{ ...across, grainDeg: null }], [streaked], TIGHT).tooLarge).toEqual([]);
});

it('turns a long piece aslant where it fits in no other way, and says so of one that never fits', () => {
  // The diagonal of 300 × 300 is 424 mm: a strip of 380 × 20 fits only across it.
  const strip = piece(1, rectangle(380, 20));
  const laid = layPieces([strip], [sheet(300, 300)], TIGHT);
  expect(laid.sheets[0]!.pieces).toHaveLength(1);
  expectApart(laid);
  expect(layPieces([piece(12, rectangle(430, 20))], [sheet(300, 300)], TIGHT)).toMatchObject({
    tooLarge: [{ piece: '12' }],
    sheets: [],
  });
});

it('takes offcuts before a whole sheet, and tells what fits on none that is left', () => {
  const offcut = sheet(110, 110, { sheet: 'left', isOffcut: true });
  const two = [1, 2].map((n) => piece(n, rectangle(100, 100)));
  const both = layPieces(two, [sheet(500, 500), offcut], TIGHT);
  expect(both.sheets.map((one) => one.sheet)).toEqual(['left', 'whole']);
  expect(layPieces(two, [offcut], TIGHT).unlaid).toHaveLength(1);
});

it('names the rectangle that is left over', () => {
  const laid = layPieces([piece(1, rectangle(100, 400))], [sheet(600, 400)], TIGHT);
  const { offcut } = laid.sheets[0]!;
  // told to one of 200 columns, never too large
  expect(offcut).toMatchObject({ heightMm: 400 });
  expect(offcut!.widthMm).toBeLessThanOrEqual(500);
  expect(offcut!.widthMm).toBeGreaterThan(500 - 600 / 200);
});

it('holds curved pieces apart in every turn', () => {
  const leaf = (long: number): XyMm[] =>
    Array.from({ length: 48 }, (_, i) => {
      const t = (i / 48) * 2 * Math.PI;
      return [long * Math.cos(t), (long / 2) * Math.sin(t) * (1 + 0.3 * Math.cos(3 * t))] as const;
    });
  const leaves = Array.from({ length: 14 }, (_, i) =>
    piece(i, leaf(40 + 3 * i), i % 3 ? null : 30),
  );
  const laid = layPieces(leaves, [sheet(500, 400, { grainDeg: 90 })], { gapMm: 4, edgeMm: 5 });
  expectApart(laid);
  expect(laid.sheets.flatMap(({ pieces }) => pieces)).toHaveLength(14);
});
