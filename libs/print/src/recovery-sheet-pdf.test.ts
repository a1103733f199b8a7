import { jest } from '@jest/globals';
import jsQR from 'jsqr';
import sharp from 'sharp';
import { qrPath, qrRows } from './qr-code.js';
import { readCodes } from './read-code.js';
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
    expect(jsQR.default(new Uint8ClampedArray(data), info.width, info.height)?.data).toBe(text);
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
    const [code] = await readCodes(await recoverySheetPdf(SHEET), [[0, 0, 210, 297]]);
    expect(code).toBe(WORDS.join(' '));
  });

  it('is the same bytes for the same sheet', async () => {
    expect(await recoverySheetPdf(SHEET)).toEqual(await recoverySheetPdf(SHEET));
  });
});
