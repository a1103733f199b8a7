import { jest } from '@jest/globals';
import { buildNet, lozengeSketch, type Net } from '#libs/net';
import { type NetPdfOptions, netPdf } from './net-pdf.js';
import { readPdf as read } from './read-pdf.js';

// Fonts are read and pages parsed; a loaded machine takes a while.
jest.setTimeout(60_000);

function lozenges(columns: number, rows: number): Net {
  const grid = { columns, rows, widthMm: 90, heightMm: 130, faceWidthMm: 6, outerFaceMm: 10 };
  return buildNet(lozengeSketch(grid), {
    face: 'inside',
    layer: 'front',
    surface: 'plan',
    madeBy: { name: 'test', version: '1' },
  });
}

const near = (value: number, expected: number) => Math.abs(value - expected) < 0.02;

// Measured with pdf.js, not with our own writer. Sizes: the check square by what it says, paper by
// ISO 216, the panel by plane geometry (columns × 90 mm and a face of 10 mm).
describe('a lead drawing on paper', () => {
  const options: NetPdfOptions = { mark: 'SLM.sII.2b', revision: 3 };

  it('has a check square of 100 mm on the first sheet', async () => {
    const [cover] = await read(await netPdf(lozenges(4, 4), options));
    expect(cover!.boxes.some((box) => near(box.width, 100) && near(box.height, 100))).toBe(true);
    expect(cover!.text).toContain('100 × 100 mm');
    expect(cover!.text).toContain('SLM.sII.2b');
    expect(cover!.text).toContain('revision 3');
  });

  it('shows the panel in its true size on one sheet when it fits', async () => {
    const pages = await read(await netPdf(lozenges(2, 1), options));
    expect(pages).toHaveLength(2);
    const outline = pages[1]!.boxes.find((box) => near(box.width, 190) && near(box.height, 140));
    expect(outline).toBeDefined();
    expect(pages[1]!.text).toContain('the only sheet');
  });

  it('lays a larger panel over sheets that overlap by 10 mm', async () => {
    const pages = await read(await netPdf(lozenges(4, 4), options));
    const sheets = pages.slice(1);
    const outlines = sheets.flatMap((page) =>
      page.boxes.filter((box) => near(box.width, 370) && near(box.height, 530)),
    );
    expect(outlines).toHaveLength(sheets.length);
    for (const page of sheets) {
      expect([page.widthMm, page.heightMm].map(Math.round)).toEqual([210, 297]);
    }
    // From one sheet to the next on its right the drawing moves by the window less the overlap.
    const [first, second] = outlines;
    expect(first!.left - second!.left).toBeCloseTo(210 - 16 - 10, 2);
    expect(first!.top).toBeCloseTo(second!.top, 3);
  });

  it('labels sheets by row and column and names their neighbours', async () => {
    const pages = await read(await netPdf(lozenges(4, 4), options));
    expect(pages[1]!.text).toMatch(/A1 .*right A2.*below B1/);
    expect(pages.at(-1)!.text).toMatch(/left [A-Z]\d+ · above [A-Z]\d+/);
  });

  it('prints every number on some sheet', async () => {
    const net = lozenges(4, 4);
    const pages = await read(await netPdf(net, options));
    const words = new Set(pages.slice(1).flatMap((page) => page.text.split(/\s+/)));
    expect(net.pieces.filter((piece) => !words.has(piece.pieceId))).toEqual([]);
  });

  it('takes fewer sheets of A3', async () => {
    const a4 = await read(await netPdf(lozenges(5, 5), options));
    const a3 = await read(await netPdf(lozenges(5, 5), { ...options, paper: 'A3' }));
    expect(a3.length).toBeLessThan(a4.length);
    expect([a3[1]!.widthMm, a3[1]!.heightMm].map(Math.round).sort()).toEqual([297, 420]);
  });

  it('takes Letter paper (ANSI/ASME Y14.1: 8.5 × 11 in)', async () => {
    const pages = await read(await netPdf(lozenges(4, 4), { ...options, paper: 'Letter' }));
    for (const page of pages) {
      const sides = [page.widthMm, page.heightMm].sort((a, b) => a - b);
      expect(sides[0]).toBeCloseTo(215.9, 1);
      expect(sides[1]).toBeCloseTo(279.4, 1);
    }
    expect(pages[0]!.boxes.some((box) => near(box.width, 100) && near(box.height, 100))).toBe(true);
  });

  it('turns over left to right for work from outside, in large words, with readable numbers', async () => {
    const net = lozenges(2, 1);
    const straight = (await read(await netPdf(net, options)))[1]!;
    const [cover, mirrored] = await read(await netPdf(net, { ...options, mirrored: true }));
    expect(cover!.text).toContain('MIRRORED · SEEN FROM OUTSIDE');
    expect(mirrored!.text).toContain('MIRRORED');
    expect(straight.text).not.toContain('MIRRORED');
    const one = (page: typeof straight) => page.words.find(({ text }) => text === '1')!;
    // The panel lies in the middle of the sheet: the two places are mirror images about it.
    expect(one(straight).middleMm + one(mirrored!).middleMm).toBeCloseTo(straight.widthMm, 0);
    // Upright letters: the text matrix is not turned over.
    expect(one(mirrored!).isTurnedOver).toBe(false);
  });

  it('prints both sides into one file, each with a cover and a check square of its own', async () => {
    const net = lozenges(4, 4);
    const one = await read(await netPdf(net, options));
    const both = await read(await netPdf(net, { ...options, bothSides: true }));
    expect(both).toHaveLength(2 * one.length);
    const [inside, outside] = [both.slice(0, one.length), both.slice(one.length)];
    for (const page of inside) expect(page.text).not.toContain('MIRRORED');
    for (const page of outside) expect(page.text).toContain('MIRRORED');
    for (const [cover] of [inside, outside])
      expect(cover!.boxes.some((box) => near(box.width, 100) && near(box.height, 100))).toBe(true);
  });

  it('leaves the numbers out when asked, and nothing else', async () => {
    const net = lozenges(2, 1);
    const [, sheet] = await read(await netPdf(net, options));
    const [cover, bare] = await read(await netPdf(net, { ...options, numbers: false }));
    const words = new Set(net.pieces.map(({ pieceId }) => pieceId));
    const numbersOn = (page: typeof sheet) => page!.words.filter(({ text }) => words.has(text));
    expect(numbersOn(sheet).length).toBeGreaterThanOrEqual(net.pieces.length);
    expect(numbersOn(bare)).toEqual([]);
    expect(bare!.boxes).toHaveLength(sheet!.boxes.length);
    expect(cover!.text).toContain('without numbers');
  });

  it('says on every sheet whether it is developed or in plan', async () => {
    const developed = { ...lozenges(2, 1), surface: 'developed' as const };
    const pages = await read(await netPdf(developed, options));
    for (const page of pages) expect(page.text).toContain('Developed');
    for (const page of await read(await netPdf(lozenges(2, 1), options))) {
      expect(page.text).toContain('In plan');
    }
  });

  it('embeds its fonts', async () => {
    const text = Buffer.from(await netPdf(lozenges(2, 1), options)).toString('latin1');
    const fonts = text.match(/\/Type \/FontDescriptor/g) ?? [];
    expect(fonts.length).toBeGreaterThan(0);
    expect(text.match(/\/FontFile[23]? /g)).toHaveLength(fonts.length);
  });

  it('is the same bytes for the same drawing', async () => {
    const [one, two] = [
      await netPdf(lozenges(2, 2), options),
      await netPdf(lozenges(2, 2), options),
    ];
    expect(Buffer.compare(Buffer.from(one), Buffer.from(two))).toBe(0);
  });
});
