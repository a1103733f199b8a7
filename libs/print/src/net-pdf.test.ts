import { jest } from '@jest/globals';
import { getDocumentProxy, getResolvedPDFJS } from 'unpdf';
import { buildNet, lozengeSketch, type Net } from '#libs/net';
import { type NetPdfOptions, netPdf } from './net-pdf.js';

// Fonts are read and pages parsed; a loaded machine takes a while.
jest.setTimeout(60_000);

const MM_PER_PT = 25.4 / 72;

/** A path's bounding box on the page in millimetres, as another PDF reader sees it. */
interface Box {
  left: number;
  top: number;
  width: number;
  height: number;
}

interface Page {
  widthMm: number;
  heightMm: number;
  text: string;
  boxes: Box[];
}

async function read(bytes: Uint8Array): Promise<Page[]> {
  const document = await getDocumentProxy(Uint8Array.from(bytes));
  const { OPS } = await getResolvedPDFJS();
  const pages: Page[] = [];
  for (let number = 1; number <= document.numPages; number++) {
    const page = await document.getPage(number);
    const { items } = await page.getTextContent();
    const operators = await page.getOperatorList();
    const boxes: Box[] = [];
    operators.fnArray.forEach((code, i) => {
      if (code !== OPS.constructPath) return;
      const extent = (operators.argsArray as unknown[][])[i]![2] as Record<number, number> | null;
      if (extent === null) return;
      const [x0, y0, x1, y1] = [0, 1, 2, 3].map((at) => extent[at]! * MM_PER_PT);
      boxes.push({ left: x0!, top: y0!, width: x1! - x0!, height: y1! - y0! });
    });
    const [, , width, height] = page.view as [number, number, number, number];
    pages.push({
      widthMm: width * MM_PER_PT,
      heightMm: height * MM_PER_PT,
      text: items.map((item) => ('str' in item ? item.str : '')).join(' '),
      boxes,
    });
  }
  await document.loadingTask.destroy();
  return pages;
}

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

  it('is the same bytes for the same drawing', async () => {
    const [one, two] = [
      await netPdf(lozenges(2, 2), options),
      await netPdf(lozenges(2, 2), options),
    ];
    expect(Buffer.compare(Buffer.from(one), Buffer.from(two))).toBe(0);
  });
});
