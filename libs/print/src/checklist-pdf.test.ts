import { jest } from '@jest/globals';
import { buildNet, type LozengeGrid, lozengeSketch } from '#libs/net';
import { dismantlingChecklist, rebuildChecklist, removalChecklist } from '#libs/records';
import { BOX_MM, checklistPdf } from './checklist-pdf.js';
import { readPdf } from './read-pdf.js';

// Fonts are read and pages parsed; a loaded machine takes a while.
jest.setTimeout(60_000);

const ABOUT = { mark: 'SLM.wI', siteName: 'Sallowmere Chapel', asOf: '2026-05-04' };
const DATE = new Date('2026-05-04T00:00:00Z');

const netOf = (grid: LozengeGrid) =>
  buildNet(lozengeSketch(grid), {
    face: 'inside',
    layer: 'front',
    surface: 'developed',
    madeBy: { name: 'test', version: '1' },
  });

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

// Where pdf.js finds each number, against the place that the net gives it.
it('draws the panel small on its list, each number where its piece lies, on A4', async () => {
  const net = netOf({
    columns: 3,
    rows: 4,
    widthMm: 120,
    heightMm: 90,
    faceWidthMm: 6,
    outerFaceMm: 10,
  });
  const ids = net.pieces.map(({ pieceId }) => pieceId);
  const list = dismantlingChecklist({ ...ABOUT, drawing: { kind: 'panel', net } }, ids, []);
  const pages = await readPdf(await checklistPdf(list, DATE));
  const [first] = pages;
  for (const page of pages)
    expect([page.widthMm, page.heightMm].map(Math.round)).toEqual([210, 297]);
  // the drawing comes before the list: of each number the first is the drawn one
  const drawn = ids.map((id) => first!.words.find(({ text }) => text === id)!);
  const scale = Number(/1 : (\d+)/.exec(first!.text)![1]);
  const [from] = drawn;
  expect(scale).toBeGreaterThan(1);
  for (const [at, word] of drawn.entries()) {
    const [x, y] = net.pieces[at]!.labelMm;
    const [x0, y0] = net.pieces[0]!.labelMm;
    expect(Math.abs(word.middleMm - from!.middleMm - (x - x0) / scale)).toBeLessThan(0.3);
    // numbers differ in height, so their lines lie up to a millimetre apart from their middles
    expect(Math.abs(word.baselineMm - from!.baselineMm - (y - y0) / scale)).toBeLessThan(1.2);
  }
});

it('leaves a number out that nobody could read, and never the list', async () => {
  const net = netOf({
    columns: 20,
    rows: 20,
    widthMm: 40,
    heightMm: 40,
    faceWidthMm: 4,
    outerFaceMm: 6,
  });
  const ids = net.pieces.map(({ pieceId }) => pieceId);
  const list = rebuildChecklist({ ...ABOUT, drawing: { kind: 'panel', net } }, ids, [], null);
  const pages = await readPdf(await checklistPdf(list, DATE));
  const words = pages.flatMap((page) => page.words.map(({ text }) => text));
  const small = net.pieces.filter(({ labelRadiusMm }) => labelRadiusMm < 4);
  expect(small.length).toBeGreaterThan(0);
  for (const { pieceId } of small) expect(words.filter((text) => text === pieceId)).toHaveLength(1);
});

it('is the same bytes again', async () => {
  const list = rebuildChecklist(ABOUT, ['1', '2'], [], null);
  expect(Buffer.from(await checklistPdf(list, DATE)).equals(await checklistPdf(list, DATE))).toBe(
    true,
  );
});
