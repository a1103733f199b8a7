/** Figures of school geometry on two squares that share a lead. */
import type { XyMm } from '#libs/net';
import { measurePerPiece, pieceShareText } from './measure-per-piece.js';

const rectangle = (x0: number, y0: number, x1: number, y1: number): XyMm[] => [
  [x0, y0],
  [x1, y0],
  [x1, y1],
  [x0, y1],
];
/** Two pieces of 100 × 100 mm along the centre lines; 4 mm of lead hide 2 mm all round each. */
const pieces = [0, 100].map((x, i) => ({
  pieceId: String(i + 1),
  centreRingMm: rectangle(x, 0, x + 100, 100),
  sightRingsMm: [rectangle(x + 2, 2, x + 98, 98)],
}));

describe('a finding over two pieces', () => {
  it('is measured on each along a crack, and the stretches add up', () => {
    const crack = {
      kind: 'line',
      xyMm: [
        [70, 50],
        [190, 50],
      ] as XyMm[],
    } as const;
    const shares = measurePerPiece(crack, pieces);
    expect(shares.map(({ pieceId }) => pieceId)).toEqual(['2', '1']);
    expect(shares[0]!.lengthMm).toBeCloseTo(90, 3);
    expect(shares[1]!.lengthMm).toBeCloseTo(30, 3);
    expect(shares.map(pieceShareText)).toEqual(['2: 90 mm', '1: 30 mm']);
  });

  it('covers of each what is seen of the glass, not what lies under the lead', () => {
    const loss = { kind: 'area', xyMm: rectangle(90, 40, 130, 60) } as const;
    const [second, first] = measurePerPiece(loss, pieces);
    // From x 102 to 130, and from 90 to 98, 20 mm high; 96 × 96 mm of glass are seen.
    expect(second).toMatchObject({ pieceId: '2', lengthMm: null, countN: null });
    expect(second!.areaMm2).toBeCloseTo(28 * 20, 2);
    expect(second!.shareRatio).toBeCloseTo(560 / 9216, 5);
    expect(first!.areaMm2).toBeCloseTo(8 * 20, 2);
    expect(pieceShareText(second!)).toBe('2: 5.6 cm², 6 %');
  });

  it('counts points where they lie', () => {
    const pits = {
      kind: 'point',
      xyMm: [
        [10, 10],
        [20, 20],
        [150, 50],
      ] as XyMm[],
    } as const;
    expect(measurePerPiece(pits, pieces).map(pieceShareText)).toEqual(['1: 2 places', '2']);
  });

  it('does not count a hole in the glass that is seen', () => {
    const holed = [
      {
        ...pieces[0]!,
        sightRingsMm: [rectangle(2, 2, 98, 98), rectangle(40, 40, 60, 60).toReversed()],
      },
    ];
    const [share] = measurePerPiece({ kind: 'area', xyMm: rectangle(30, 30, 70, 70) }, holed);
    expect(share!.areaMm2).toBeCloseTo(1600 - 400, 2);
  });

  it('is on no piece beside the panel', () => {
    expect(measurePerPiece({ kind: 'point', xyMm: [[500, 500]] }, pieces)).toEqual([]);
  });
});
