import { jest } from '@jest/globals';
import jsQR from 'jsqr';
import sharp from 'sharp';
import { getDocumentProxy, getResolvedPDFJS } from 'unpdf';
import { qrPath, qrRows } from './qr-code.js';
import { readPdf } from './read-pdf.js';
import { type RecoverySheet, recoverySheetPdf } from './recovery-sheet-pdf.js';

jest.setTimeout(120_000);

/** BIP-39, "Test vectors" (English, 256 bits): published words, so that nobody takes them for secret ones. */
const WORDS =
  'hamster diagram private dutch cause delay private meat slide toddler razor book happy fancy gospel tennis maple dilemma loan word shrug inflict delay length'.split(
    ' ',
  );

const SHEET: RecoverySheet = {
  words: WORDS,
  archiveId: '0198c3a0-0000-7000-8000-000000000001',
  fingerprint: '7K3Q-9F2M-AAAA-BBBB-CCCC-DDDD-EEEE',
  successor: '2M9F-Q3K7-AAAA-BBBB-CCCC-DDDD-EEEE',
  announcedAt: 0,
  madeAt: new Date('2026-11-25T08:00:00.000Z'),
};

/** What an independent reader of QR codes (jsQR) sees in a picture. */
function readCode(data: Buffer, width: number, height: number): string | undefined {
  return jsQR.default(new Uint8ClampedArray(data), width, height)?.data;
}

describe('the code', () => {
  it.each([
    ['the words of a sheet', WORDS.join(' ')],
    ['the longest words', Array(24).fill('abstract').join(' ')],
    ['the shortest words', Array(24).fill('zoo').join(' ')],
  ])('of %s is read by another program', async (_, text) => {
    const rows = qrRows(text);
    const side = rows.length;
    const svg = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${side} ${side}" width="${side * 5}" height="${side * 5}"><path d="${qrPath(rows)}"/></svg>`;
    const { data, info } = await sharp(Buffer.from(svg))
      .flatten({ background: '#fff' })
      .ensureAlpha()
      .raw()
      .toBuffer({ resolveWithObject: true });
    expect(readCode(data, info.width, info.height)).toBe(text);
  });
});

describe('the recovery sheet', () => {
  it('is one A4 page with all words in their order, both fingerprints and what to do with it', async () => {
    const pages = await readPdf(await recoverySheetPdf(SHEET));
    expect(pages).toHaveLength(1);
    const { widthMm, heightMm, text } = pages[0]!;
    // ISO 216
    expect([widthMm, heightMm].map((mm) => Math.round(mm * 10) / 10)).toEqual([210, 297]);
    WORDS.forEach((word, i) => {
      expect(text).toMatch(new RegExp(`\\b${i + 1}\\s+${word}\\b`));
    });
    const commands = [
      'mullion admin key recover',
      'mullion admin restore PLACE --home NEW --words',
    ];
    for (const said of [SHEET.fingerprint, SHEET.successor, ...commands]) {
      expect(text).toContain(said);
    }
    expect(text).toMatch(/Whoever holds this sheet can sign as this archive/);
    expect(text).toMatch(/Not beside the computer/);
  });

  it('holds the words as a code that another program reads from the page', async () => {
    const pxPerMm = 5;
    const [widthPx, heightPx] = [210 * pxPerMm, 297 * pxPerMm];
    const data = Buffer.alloc(widthPx * heightPx * 4, 255);
    for (const { x, y, width, height } of await blackBoxes(await recoverySheetPdf(SHEET))) {
      const rows = [y, y + height].map((mm) => Math.round(mm * pxPerMm));
      const columns = [x, x + width].map((mm) => Math.round(mm * pxPerMm));
      for (let row = rows[0]!; row < rows[1]!; row++) {
        for (let column = columns[0]!; column < columns[1]!; column++) {
          data.fill(0, (row * widthPx + column) * 4, (row * widthPx + column) * 4 + 3);
        }
      }
    }
    expect(readCode(data, widthPx, heightPx)).toBe(WORDS.join(' '));
  });

  it('is the same bytes for the same sheet', async () => {
    expect(await recoverySheetPdf(SHEET)).toEqual(await recoverySheetPdf(SHEET));
  });
});

/** Boxes filled black, in millimetres from the top left, as pdf.js reads them. */
async function blackBoxes(bytes: Uint8Array) {
  const document = await getDocumentProxy(Uint8Array.from(bytes));
  const { OPS } = await getResolvedPDFJS();
  const page = await document.getPage(1);
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
