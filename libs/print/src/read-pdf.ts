/** A PDF read back by another program, for tests: sizes, words and boxes of each page. */
import { getDocumentProxy, getResolvedPDFJS } from 'unpdf';

const MM_PER_PT = 25.4 / 72;

/** A path's bounding box on the page in millimetres, as another PDF reader sees it. */
export interface Box {
  left: number;
  top: number;
  width: number;
  height: number;
}

export interface Word {
  readonly text: string;
  /** Middle of the text across the page. */
  readonly middleMm: number;
  /** Of its line, from the top of the page. */
  readonly baselineMm: number;
  readonly isTurnedOver: boolean;
}

export interface Page {
  widthMm: number;
  heightMm: number;
  text: string;
  words: Word[];
  boxes: Box[];
}

/** Pages as pdf.js reads them. */
export async function readPdf(bytes: Uint8Array): Promise<Page[]> {
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
      words: items.flatMap((item) => {
        if (!('str' in item)) return [];
        const [a, b, c, d, x, y] = item.transform as [
          number,
          number,
          number,
          number,
          number,
          number,
        ];
        const middleMm = (x + item.width / 2) * MM_PER_PT;
        const baselineMm = (height - y) * MM_PER_PT;
        return [{ text: item.str, middleMm, baselineMm, isTurnedOver: a * d - b * c < 0 }];
      }),
      boxes,
    });
  }
  await document.loadingTask.destroy();
  return pages;
}
