import { jest } from '@jest/globals';
import { buildNet, lozengeSketch, type Net } from '#libs/net';
import { patternPdf } from './pattern-pdf.js';
import { readPdf } from './read-pdf.js';

jest.setTimeout(60_000);

function lozenges(widthMm: number, heightMm: number): Net {
  const grid = { columns: 2, rows: 2, widthMm, heightMm, faceWidthMm: 6, outerFaceMm: 10 };
  return buildNet(lozengeSketch(grid), {
    face: 'inside',
    layer: 'front',
    surface: 'plan',
    madeBy: { name: 'test', version: '1' },
    // The patterns are the centre lines' own lozenges: sizes by plane geometry.
    heartMm: 0,
    clearanceMm: 0,
  });
}

// Measured with pdf.js. Sizes: the lozenge grid's own.
describe('pattern pieces on paper', () => {
  it('shows each piece once, in true size, with its number and cut size', async () => {
    const net = lozenges(80, 110);
    const [cover, ...sheets] = await readPdf(await patternPdf(net, { mark: 'SLM.sII.2b' }));
    expect(cover!.text).toContain('100 × 100 mm');
    expect(cover!.text).toContain('Measure this before you cut');
    const words = sheets.flatMap((page) => page.words.map(({ text }) => text));
    for (const { pieceId } of net.pieces) {
      expect(words.filter((word) => word === pieceId).length).toBeGreaterThanOrEqual(1);
    }
    // Whole lozenges: 2 × 2 + 1 in the middle.
    const whole = sheets.flatMap((page) =>
      page.boxes.filter((b) => Math.abs(b.width - 80) < 0.05 && Math.abs(b.height - 110) < 0.05),
    );
    expect(whole).toHaveLength(5);
    expect(words.filter((word) => word === '80.0 × 110.0 mm')).toHaveLength(5);
  });

  it('lays no piece over another or off the paper', async () => {
    const sheets = (await readPdf(await patternPdf(lozenges(80, 110)))).slice(1);
    for (const page of sheets) {
      const pieces = page.boxes.filter((box) => box.width > 35 && box.height > 50);
      expect(pieces.length).toBeGreaterThan(0);
      for (const box of pieces) {
        expect(box.left).toBeGreaterThan(5);
        expect(box.left + box.width).toBeLessThan(page.widthMm - 5);
        expect(box.top).toBeGreaterThan(5);
        expect(box.top + box.height).toBeLessThan(page.heightMm - 5);
      }
    }
  });

  it('spreads a piece that is larger than the paper over several sheets', async () => {
    const net = lozenges(260, 380);
    const [cover, ...sheets] = await readPdf(await patternPdf(net));
    expect(cover!.text).toContain('over several sheets');
    // 260 × 380 mm lie on three sheets of A4 across, one below the other.
    expect(sheets.some((page) => page.text.includes('above A1 · below C1'))).toBe(true);
  });

  it('leaves all in their places when asked, and can be turned over', async () => {
    const net = lozenges(80, 110);
    const [cover, ...sheets] = await readPdf(
      await patternPdf(net, { inPlace: true, mirrored: true }),
    );
    expect(cover!.text).toContain('in place');
    expect(cover!.text).toContain('MIRRORED · SEEN FROM OUTSIDE');
    // 160 × 220 mm fit one sheet of A4.
    expect(sheets).toHaveLength(1);
    expect(sheets[0]!.text).toContain('MIRRORED');
  });
});
