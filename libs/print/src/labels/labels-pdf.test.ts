import { jest } from '@jest/globals';
import { readCodes } from '../read-code.js';
import { readPdf } from '../read-pdf.js';
import type { Label } from './draw-label.js';
import { planLabels } from './label-stock.js';
import { labelsPdf } from './labels-pdf.js';

// Fonts are read and pages parsed; a loaded machine takes a while.
jest.setTimeout(120_000);

const label = (number: number): Label => ({
  code: `SLM.wI.2b.${number}`,
  above: 'SLM.wI',
  name: `2b.${number}`,
  face: 'this side is the inside face',
  facts: ['43 g, computed', '92.0 × 68.5 mm cut'],
  caution: 'Tie on. Never tape on painted glass.',
});
const labels = (count: number) => Array.from({ length: count }, (_, i) => label(i + 1));

describe('the grid of a sheet', () => {
  // A4 by ISO 216: 210 × 297 mm. How many fit is plane arithmetic.
  it.each([
    [70, 37, 3, 8],
    [105, 57, 2, 5],
    [105, 148, 2, 2],
    [210, 148, 1, 2],
    [60, 40, 3, 7],
  ])('of labels %s × %s mm is %s by %s, in the middle of the paper', (w, h, columns, rows) => {
    const plan = planLabels({ kind: 'sheet', widthMm: w, heightMm: h }, columns * rows + 1);
    expect([plan.columns, plan.rows]).toEqual([columns, rows]);
    const [first] = plan.places;
    const last = plan.places[columns * rows - 1]!;
    expect(first!.leftMm).toBeCloseTo(210 - last.leftMm - w, 6);
    expect(first!.topMm).toBeCloseTo(297 - last.topMm - h, 6);
    expect(plan.places.at(-1)).toEqual({ ...first, page: 1 });
  });

  it('begins where a used sheet is still whole', () => {
    const stock = { kind: 'sheet', widthMm: 70, heightMm: 37 } as const;
    const fresh = planLabels(stock, 24).places;
    expect(planLabels(stock, 2, 23).places).toEqual([fresh[23], { ...fresh[0], page: 1 }]);
  });
});

describe('labels on paper', () => {
  it('are A4 sheets whose every code another program reads as its own mark', async () => {
    const stock = { kind: 'sheet', widthMm: 70, heightMm: 37 } as const;
    const pdf = await labelsPdf(labels(26), { title: 'labels', stock });
    const pages = await readPdf(pdf);
    expect(pages.map(({ widthMm, heightMm }) => [widthMm, heightMm].map(Math.round))).toEqual([
      [210, 297],
      [210, 297],
    ]);
    const { places } = planLabels(stock, 26);
    const regions = places
      .filter(({ page }) => page === 0)
      .map(({ leftMm, topMm }) => [leftMm, topMm, 40, 37] as const);
    expect(await readCodes(pdf, regions)).toEqual(labels(24).map(({ code }) => code));
    for (const words of ['SLM.wI', '2b.17', 'UP', 'this side is the inside face', '43 g, computed'])
      expect(pages[0]!.text).toContain(words);
  });

  it('are pages 62 mm wide on a roll, as long as a label', async () => {
    const pdf = await labelsPdf(labels(3), {
      title: 'labels',
      stock: { kind: 'roll', widthMm: 62, heightMm: 40 },
    });
    const pages = await readPdf(pdf);
    expect(pages).toHaveLength(3);
    for (const { widthMm, heightMm } of pages) {
      expect(widthMm).toBeCloseTo(62, 2);
      expect(heightMm).toBeCloseTo(40, 2);
    }
    expect(await readCodes(pdf, [[0, 0, 62, 40]], 3)).toEqual(['SLM.wI.2b.3']);
  });

  it.each([
    ['a small label', 50, 25],
    ['a tall one', 62, 100],
    ['a crate', 210, 148],
  ])('keep mark, arrow, face and code on %s', async (_, widthMm, heightMm) => {
    const long = { ...label(17), code: 'https://archive.workshop.example:8443/at/SLM.wI.2b.17' };
    const pdf = await labelsPdf([long], {
      title: 'one',
      stock: { kind: 'sheet', widthMm, heightMm },
    });
    const [page] = await readPdf(pdf);
    for (const words of ['2b.17', 'UP', 'this side is the inside face'])
      expect(page!.text).toContain(words);
    const [place] = planLabels({ kind: 'sheet', widthMm, heightMm }, 1).places;
    const region = [place!.leftMm, place!.topMm, widthMm, heightMm] as const;
    expect(await readCodes(pdf, [region])).toEqual([long.code]);
  });

  it('are the same bytes for the same labels', async () => {
    const how = { title: 'one', stock: { kind: 'roll', widthMm: 62, heightMm: 62 } } as const;
    expect(await labelsPdf(labels(1), how)).toEqual(await labelsPdf(labels(1), how));
  });
});
