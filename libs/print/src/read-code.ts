/** QR codes of a printed page read by another program (jsQR from what pdf.js says is black), for tests. */
import jsQR from 'jsqr';
import { getDocumentProxy, getResolvedPDFJS } from 'unpdf';

const PX_PER_MM = 8;

/** What is read in each region of a page; undefined where no code is. @param regions left, top, width, height, mm */
export async function readCodes(
  bytes: Uint8Array,
  regions: readonly (readonly [number, number, number, number])[],
  pageNumber = 1,
): Promise<(string | undefined)[]> {
  const boxes = await blackBoxes(bytes, pageNumber);
  return regions.map(([left, top, widthMm, heightMm]) => {
    const [width, height] = [widthMm * PX_PER_MM, heightMm * PX_PER_MM].map(Math.round) as [
      number,
      number,
    ];
    const data = new Uint8ClampedArray(width * height * 4).fill(255);
    for (const box of boxes) {
      const range = (from: number, length: number, start: number, most: number) =>
        [from - start, from + length - start].map((mm) =>
          Math.min(most, Math.max(0, Math.round(mm * PX_PER_MM))),
        ) as [number, number];
      const [x0, x1] = range(box.x, box.width, left, width);
      const [y0, y1] = range(box.y, box.height, top, height);
      for (let y = y0; y < y1; y++)
        for (let x = x0; x < x1; x++) data.fill(0, (y * width + x) * 4, (y * width + x) * 4 + 3);
    }
    return jsQR.default(data, width, height)?.data;
  });
}

/** Boxes filled black, in millimetres from the top left, as pdf.js reads them. */
async function blackBoxes(bytes: Uint8Array, pageNumber: number) {
  const document = await getDocumentProxy(Uint8Array.from(bytes));
  const { OPS } = await getResolvedPDFJS();
  const page = await document.getPage(pageNumber);
  const { fnArray, argsArray } = await page.getOperatorList();
  const boxes: { x: number; y: number; width: number; height: number }[] = [];
  const mm = 25.4 / 72;
  let colour = '';
  fnArray.forEach((code, i) => {
    const args = argsArray[i] as unknown[];
    if (code === OPS.setFillRGBColor) colour = String(args[0]);
    if (code !== OPS.constructPath || args[0] !== OPS.fill || colour !== '#000000') return;
    // pairs of an operator and its numbers: 0 move, 1 line, 4 close
    const path = [...((args[1] as [ArrayLike<number>])[0] as unknown as number[])];
    let corner: [number, number][] = [];
    const close = () => {
      const xs = corner.map(([x]) => x * mm);
      const ys = corner.map(([, y]) => y * mm);
      if (corner.length > 0) {
        const [x, y] = [Math.min(...xs), Math.min(...ys)];
        boxes.push({ x, y, width: Math.max(...xs) - x, height: Math.max(...ys) - y });
      }
      corner = [];
    };
    for (let at = 0; at < path.length; ) {
      const operator = path[at]!;
      if (operator === 0) close();
      if (operator === 4) at += 1;
      else {
        corner.push([path[at + 1]!, path[at + 2]!]);
        at += 3;
      }
    }
    close();
  });
  await document.loadingTask.destroy();
  return boxes;
}
