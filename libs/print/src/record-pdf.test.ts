import { jest } from '@jest/globals';
import { getDocumentProxy, getResolvedPDFJS } from 'unpdf';
import { sampleConditionRecord, sampleTreatmentRecord } from '#libs/records';
import { recordPdf } from './record-pdf.js';

// Fonts are read and pages parsed; a loaded machine takes a while.
jest.setTimeout(60_000);

const MM_PER_PT = 25.4 / 72;

async function read(bytes: Uint8Array) {
  const document = await getDocumentProxy(Uint8Array.from(bytes));
  const { OPS } = await getResolvedPDFJS();
  const pages: string[] = [];
  const sizesMm: [number, number][] = [];
  for (let number = 1; number <= document.numPages; number++) {
    const page = await document.getPage(number);
    const { items } = await page.getTextContent();
    pages.push(items.map((item) => ('str' in item ? item.str : '')).join(' '));
    const { fnArray, argsArray } = await page.getOperatorList();
    fnArray.forEach((code, i) => {
      if (code !== OPS.constructPath) return;
      const extent = (argsArray as unknown[][])[i]![2] as Record<number, number> | null;
      if (extent === null) return;
      sizesMm.push([(extent[2]! - extent[0]!) * MM_PER_PT, (extent[3]! - extent[1]!) * MM_PER_PT]);
    });
  }
  const metadata = await document.getMetadata();
  const info = metadata.info as Record<string, unknown>;
  await document.loadingTask.destroy();
  return { pages, text: pages.join(' ').replaceAll(/\s+/g, ' ').normalize('NFKC'), sizesMm, info };
}

// Read back with pdf.js.
describe('a condition record as PDF', () => {
  const record = sampleConditionRecord();

  it('holds the words of the record on every page that needs them', async () => {
    const { pages, text, info } = await read(await recordPdf(record, { jurisdiction: 'US' }));
    expect(text).toContain('Condition record');
    expect(text).toContain('not recorded');
    expect(text).toMatch(/crack *, SLM\.sII\.2b\.\d+, inside: 84 mm/);
    expect(text).toContain('50 µg/m³'.normalize('NFKC'));
    expect(text).toMatch(/licensed or competent person/);
    pages.forEach((page, i) => {
      expect(page).toContain(`${i + 1} of ${pages.length}`);
      expect(page).toContain('key 5dc9-da79-a706-59a9');
    });
    expect(info['Title']).toBe('SLM.sII.2b, condition record');
  });

  it('draws the panel to the scale it prints', async () => {
    const { text, sizesMm } = await read(await recordPdf(record));
    const scale = Number(/1 : ([\d.]+)/.exec(text)![1]);
    // Plane geometry: 3 × 90 and 3 × 120 mm and a face of 10 mm.
    const [width, height] = [280 / scale, 370 / scale];
    const found = sizesMm.some(
      ([w, h]) => Math.abs(w - width) < 0.02 && Math.abs(h - height) < 0.02,
    );
    expect(found).toBe(true);
  });

  it('keeps a note of many pages whole, every page with its foot', async () => {
    const note = Array.from({ length: 1500 }, (_, i) => `word${i}`).join(' ');
    const [first, ...others] = record.observations;
    const { pages, text } = await read(
      await recordPdf({ ...record, method: note, observations: [{ ...first!, note }, ...others] }),
    );
    for (const i of [0, 834, 1499]) expect(text.split(`word${i} `)).toHaveLength(3);
    pages.forEach((page, i) => {
      expect(page).toContain(`${i + 1} of ${pages.length}`);
    });
  });

  it('carries the date of the record, not of the clock', async () => {
    const { info } = await read(await recordPdf(record));
    expect(info['CreationDate']).toBe('D:20260304162011Z');
  });

  it('is the same bytes for the same record', async () => {
    const [one, two] = [await recordPdf(record), await recordPdf(sampleConditionRecord())];
    expect(Buffer.compare(Buffer.from(one), Buffer.from(two))).toBe(0);
  });
});

describe('a treatment record as PDF', () => {
  it('lists its steps with what can be undone', async () => {
    const { text } = await read(await recordPdf(sampleTreatmentRecord()));
    expect(text).toMatch(/bond, epoxy *, 14/);
    expect(text).toContain('can be treated again');
    expect(text).toContain('Lead dust and fume.');
  });
});
