import { jest } from '@jest/globals';
import { getDocumentProxy, getResolvedPDFJS } from 'unpdf';
import { calibrateLens, type TargetPaper, targetLayout } from '#libs/rubbing';
import { targetSheetPdf } from './target-sheet-pdf.js';

// Fonts are read and pages parsed; a loaded machine takes a while.
jest.setTimeout(120_000);

const MM_PER_PT = 25.4 / 72;
const PX_PER_MM = 4;

interface Fill {
  readonly leftMm: number;
  readonly topMm: number;
  readonly widthMm: number;
  readonly heightMm: number;
  readonly isBlack: boolean;
}

interface Page {
  readonly widthMm: number;
  readonly heightMm: number;
  readonly text: string;
  /** Filled boxes in the order they are painted, and boxes of all paths, as another PDF reader sees them. */
  readonly fills: Fill[];
  readonly boxes: { widthMm: number; heightMm: number }[];
}

async function read(bytes: Uint8Array): Promise<Page[]> {
  const document = await getDocumentProxy(Uint8Array.from(bytes));
  const { OPS } = await getResolvedPDFJS();
  const pages: Page[] = [];
  for (let number = 1; number <= document.numPages; number++) {
    const page = await document.getPage(number);
    const { items } = await page.getTextContent();
    const { fnArray, argsArray } = await page.getOperatorList();
    const [, , width, height] = page.view as [number, number, number, number];
    const fills: Fill[] = [];
    const boxes: Page['boxes'] = [];
    let colour = '';
    fnArray.forEach((code, i) => {
      const args = argsArray[i] as unknown[];
      if (code === OPS.setFillRGBColor) colour = String(args[0]);
      if (code !== OPS.constructPath) return;
      const extent = args[2] as Record<number, number> | null;
      if (extent === null) return;
      const [x0, y0, x1, y1] = [0, 1, 2, 3].map((at) => extent[at]! * MM_PER_PT) as [
        number,
        number,
        number,
        number,
      ];
      const box = { widthMm: x1 - x0, heightMm: y1 - y0 };
      boxes.push(box);
      // the writer turns the page's axis over once, so what is read here already runs downwards
      if (args[0] === OPS.fill)
        fills.push({ ...box, leftMm: x0, topMm: y0, isBlack: colour === '#000000' });
    });
    pages.push({
      widthMm: width * MM_PER_PT,
      heightMm: height * MM_PER_PT,
      text: items.map((item) => ('str' in item ? item.str : '')).join(' '),
      fills,
      boxes,
    });
  }
  await document.loadingTask.destroy();
  return pages;
}

/** The page as a camera square above it would see it. */
function photographed({ widthMm, heightMm, fills }: Page) {
  const widthPx = Math.round(widthMm * PX_PER_MM);
  const heightPx = Math.round(heightMm * PX_PER_MM);
  const rgb = new Uint8Array(widthPx * heightPx * 3).fill(240);
  for (const { leftMm, topMm, widthMm: w, heightMm: h, isBlack } of fills) {
    for (let y = Math.round(topMm * PX_PER_MM); y < Math.round((topMm + h) * PX_PER_MM); y++) {
      const from = (y * widthPx + Math.round(leftMm * PX_PER_MM)) * 3;
      const to = (y * widthPx + Math.round((leftMm + w) * PX_PER_MM)) * 3;
      rgb.fill(isBlack ? 25 : 240, from, to);
    }
  }
  return { widthPx, heightPx, rgb };
}

const near = (value: number, expected: number) => Math.abs(value - expected) < 0.02;

// Measured with pdf.js, not with our own writer; paper by ISO 216 and ASME Y14.1.
describe.each<[TargetPaper, number, number]>([
  ['A4', 297, 210],
  ['A3', 420, 297],
  ['Letter', 279.4, 215.9],
])('target sheet %s', (paper, widthMm, heightMm) => {
  let pages: Page[];
  beforeAll(async () => {
    pages = await read(await targetSheetPdf(paper));
  });

  it('is two lying sheets of that paper, the square on the second 100 mm', () => {
    expect(pages).toHaveLength(2);
    for (const page of pages) {
      expect(near(page.widthMm, widthMm) && near(page.heightMm, heightMm)).toBe(true);
    }
    expect(pages[1]!.boxes.some((b) => near(b.widthMm, 100) && near(b.heightMm, 100))).toBe(true);
    expect(pages[1]!.text).toContain('100 %');
    expect(pages[1]!.text).toContain('never on painted glass');
  });

  it('has each tag 16 mm wide and whole strips inside what a printer prints', () => {
    const { strips, stripMm } = targetLayout(paper);
    const tags = pages[0]!.fills.filter((f) => f.isBlack);
    expect(tags).toHaveLength(strips.reduce((s, strip) => s + strip.tags.length, 0));
    expect(tags.every((f) => near(f.widthMm, 16) && near(f.heightMm, 16))).toBe(true);
    // printers leave up to 5 mm white (common practice, no source)
    for (const strip of strips) {
      expect(strip.leftMm).toBeGreaterThan(5);
      expect(strip.leftMm + stripMm[0]).toBeLessThan(widthMm - 5);
      expect(strip.topMm + stripMm[1]).toBeLessThan(heightMm - 5);
    }
  });

  it('is read back whole, in its true size and straight', () => {
    const found = calibrateLens(photographed(pages[0]!));
    expect(found.tags).toBe(targetLayout(paper).strips.flatMap((s) => s.tags).length);
    // painted to whole pixels, so that edges are a quarter of a pixel off at most in the mean
    expect(found.rmsPx).toBeLessThan(0.35);
    expect(Math.abs(found.k1)).toBeLessThan(0.003);
  });
});

it('is the same bytes every time', async () => {
  const [one, two] = [await targetSheetPdf('A4'), await targetSheetPdf('A4')];
  expect(Buffer.compare(Buffer.from(one), Buffer.from(two))).toBe(0);
});
