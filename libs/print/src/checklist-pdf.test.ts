import { jest } from '@jest/globals';
import { rebuildChecklist, removalChecklist } from '#libs/records';
import { BOX_MM, checklistPdf } from './checklist-pdf.js';
import { readPdf } from './read-pdf.js';

// Fonts are read and pages parsed; a loaded machine takes a while.
jest.setTimeout(60_000);

const ABOUT = { mark: 'SLM.wI', siteName: 'Sallowmere Chapel', asOf: '2026-05-04' };
const DATE = new Date('2026-05-04T00:00:00Z');

const boxesOn = (page: { boxes: { width: number; height: number }[] }) =>
  page.boxes.filter(
    ({ width, height }) => Math.abs(width - BOX_MM) < 0.05 && Math.abs(height - BOX_MM) < 0.05,
  );

// Read back with pdf.js.
it('gives every panel its line and its boxes, whatever the page', async () => {
  const panels = Array.from({ length: 40 }, (_, i) => ({
    mark: `${40 - i}a`,
    carries: i === 0 ? [] : [`${41 - i}a`],
    bearsOn: [],
    liftKg: 12.34,
  }));
  const pages = await readPdf(await checklistPdf(removalChecklist(ABOUT, panels), DATE));
  expect(pages.length).toBeGreaterThan(1);
  const words = pages.flatMap((page) => page.words.map(({ text }) => text));
  expect(words.filter((text) => /^\d+a$/.test(text))).toEqual(panels.map(({ mark }) => mark));
  expect(words).toContain('first out: 40a');
  expect(words.filter((text) => text === 'lift as 12.3 kg')).toHaveLength(40);
  expect(pages.flatMap(boxesOn)).toHaveLength(40 * 5);
  for (const [i, page] of pages.entries()) {
    expect(page.text).toContain(`${i + 1} of ${pages.length}`);
    // nothing runs off the paper
    for (const box of page.boxes) {
      expect(box.left).toBeGreaterThan(10);
      expect(box.left + box.width).toBeLessThan(200.1);
      expect(box.top + box.height).toBeLessThan(280);
    }
    // what the boxes mean stands on every page that has some
    if (boxesOn(page).length > 0) expect(page.text).toContain('tagged');
  }
});

it('has every piece and every kind of lead of a rebuilt panel, and the size that it must stay under', async () => {
  const pieces = Array.from({ length: 112 }, (_, i) => String(i + 1));
  const leads = [
    { kind: 'came', widthClassMm: 6, profile: 'round 6', leads: 80, lengthMm: 12_345 },
    { kind: 'outer', widthClassMm: 10, profile: null, leads: 4, lengthMm: 2400 },
  ];
  const list = rebuildChecklist(ABOUT, pieces, leads, { widthMm: 600, heightMm: 800 });
  const pages = await readPdf(await checklistPdf(list, DATE));
  const words = pages.flatMap((page) => page.words.map(({ text }) => text));
  expect(
    words
      .filter((text) => /^\d+$/.test(text))
      .map(Number)
      .sort((a, b) => a - b),
  ).toEqual(pieces.map(Number));
  expect(words).toEqual(expect.arrayContaining(['6 mm', '10 mm']));
  expect(words).toContain('came, round 6: 80 leads, 12.35 m');
  expect(words).toContain('outer, profile not known: 4 leads, 2.40 m');
  expect(words).toContain('Trial fit, width × height, mm (opening 600 × 800: smaller on both)');
  expect(pages.flatMap(boxesOn)).toHaveLength(112 * 3 + 2 * 2);
});

it('is the same bytes again', async () => {
  const list = rebuildChecklist(ABOUT, ['1', '2'], [], null);
  expect(Buffer.from(await checklistPdf(list, DATE)).equals(await checklistPdf(list, DATE))).toBe(
    true,
  );
});
