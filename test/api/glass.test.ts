/** New work: sheets of the register, glass for pieces, cut list, cost, and the record of what was made. */
import { type ApiArchive, answer, startApiArchive, twoPieces } from '../support/api-archive.js';

let archive: ApiArchive;
let site: Awaited<ReturnType<ApiArchive['site']>>;
let panel: string;
let ruby: string;

interface Entered {
  materialId: string;
  version: number;
}
interface CutList {
  glasses: {
    name: string;
    pieces: { piece: string; cutSizeMm: [number, number]; areaMm2: number }[];
    sheets: { pieces: { piece: string }[]; offcut: { widthMm: number } | null }[];
    wholeSheets: number;
    leastSheets: number;
    missingSheets: number;
    areaMm2: number;
  }[];
  unchosen: string[];
  cut: string[];
}

const SHEET = {
  glass: 'pot-metal',
  colour: 'ruby',
  thicknessMm: 3,
  widthMm: 600,
  heightMm: 500,
  grain: 'along-height',
};

async function glass(name: string, quantity: string, over: object = {}): Promise<string> {
  const entered = await answer<Entered>(
    archive.keeper.post('/v1/materials', { name, batch: '7', unit: 'sheet', quantity }),
    201,
  );
  await answer(
    archive.keeper.put(`/v1/materials/${entered.materialId}/sheet`, { ...SHEET, ...over }),
    200,
  );
  return entered.materialId;
}

beforeAll(async () => {
  archive = await startApiArchive();
  site = await archive.site('SLM');
  panel = `/v1/panels/${site.panels['1a']!}`;
  await answer(
    archive.keeper.post(`${panel}/nets`, { sketch: twoPieces(), note: 'x' }, { 'If-Match': '"0"' }),
    201,
  );
  ruby = await glass('ruby streaky', '2');
}, 60_000);
afterAll(() => archive.close());

const choose = (body: object) => archive.keeper.post(`${panel}/glass`, body);
const list = (query = '') => answer<CutList>(archive.keeper.get(`${panel}/cut-list${query}`), 200);

it('waits for a signed drawing', async () => {
  await answer(choose({ pieces: ['1'], materialId: ruby }), 409);
  await answer(archive.keeper.get(`${panel}/cut-list`), 409);
  await answer(archive.keeper.post(`${panel}/nets/1/sign`), 200);
});

it('a list without any glass bears the day on which its drawing was signed', async () => {
  const { items } = await answer<{ items: { signedAt: string }[] }>(
    archive.keeper.get(`${panel}/nets`),
    200,
  );
  const pdf = await archive.keeper.get(`${panel}/cut-list/cut-list.pdf`);
  // ISO 32000-1, 7.9.4: a date is D:YYYYMMDD…
  expect((pdf.body as Buffer).toString('latin1')).toContain(
    `(D:${items[0]!.signedAt.slice(0, 10).replaceAll('-', '')}`,
  );
});

it.each([
  ['a piece that is in no drawing', { pieces: ['77'] }, 422, 'subject-unknown'],
  ['no piece', { pieces: [] }, 400, 'request-invalid'],
  [
    'a glass that is not in the register',
    { pieces: ['1'], materialId: '018f0000-0000-7000-8000-000000000000' },
    422,
    'glass-unknown',
  ],
  ['streaks beyond half a turn', { pieces: ['1'], grainDeg: 180 }, 400, 'request-invalid'],
  [
    'a foil width without foil',
    { pieces: ['1'], held: { by: 'came-h-flat', foilWidthMm: 5 } },
    400,
    'request-invalid',
  ],
  ['taking back what was never chosen', { pieces: ['1'], materialId: null }, 422, 'glass-unchosen'],
])('%s is refused', async (_what, body, status, type) => {
  const refused = await answer<object>(choose({ materialId: ruby, ...body }), status);
  expect(refused).toMatchObject({ type: `/problems/${type}` });
});

it('a sheet that is too small is refused with both sizes', async () => {
  // 200 × 300 mm along the centre lines; half a heart of 1.75 mm and 0.25 mm of air on each side: 197.75 × 297.75
  const small = await glass('ruby offcut', '1', { widthMm: 210, heightMm: 290 });
  const refused = await answer<{ detail: string }>(
    choose({ pieces: ['1'], materialId: small, grainDeg: 0 }),
    422,
  );
  expect(refused).toMatchObject({ type: '/problems/sheet-too-small', mark: '1' });
  expect(refused.detail).toMatch(/Piece 1 needs 198 × 298 mm as cut, the sheet is 210 × 290 mm/);
});

it('glass, cut list and files of it', async () => {
  const chosen = await answer<{ items: { piece: string; sheet: object }[] }>(
    choose({ pieces: ['1', '2'], materialId: ruby, grainDeg: 0 }),
    201,
  );
  expect(chosen.items.map(({ piece }) => piece)).toEqual(['1', '2']);
  const { glasses, unchosen } = await list();
  expect(unchosen).toEqual([]);
  expect(glasses).toHaveLength(1);
  const [one] = glasses;
  expect(one).toMatchObject({
    name: 'ruby streaky',
    wholeSheets: 1,
    leastSheets: 1,
    missingSheets: 0,
  });
  expect(one!.pieces.map(({ cutSizeMm }) => cutSizeMm)).toEqual([
    [198, 298],
    [198, 298],
  ]);
  expect(one!.areaMm2).toBeCloseTo(2 * 197.75 * 297.75, -1);
  const csv = await archive.keeper.get(`${panel}/cut-list/cut-list.csv`);
  expect(csv.headers['content-type']).toContain('text/csv');
  const pdf = await archive.keeper.get(`${panel}/cut-list/cut-list.pdf`);
  expect(String((pdf.body as Buffer).subarray(0, 5))).toBe('%PDF-');
});

it('foil and a carrier plate change what is cut', async () => {
  await answer(
    choose({ pieces: ['1', '2'], materialId: ruby, held: { by: 'copper-foil', foilWidthMm: 5.6 } }),
    201,
  );
  const sizes = async () =>
    (await list()).glasses[0]!.pieces.map(({ cutSizeMm: [w, h] }) => Math.min(w, h));
  // to the seam's centre less 0.25 mm of air on one side, half a heart and air on the other
  expect(await sizes()).toEqual([198.5, 198.5]);
  await answer(
    choose({ pieces: ['1', '2'], materialId: ruby, held: { by: 'silicone-plate' } }),
    201,
  );
  // half a joint of 1.5 mm
  expect(await sizes()).toEqual([198, 198]);
  await answer(choose({ pieces: ['1', '2'], materialId: ruby, held: { by: 'came-h-flat' } }), 201);
});

it('a glass that is out of stock is kept and flagged', async () => {
  const gone = await glass('blue streaky', '0');
  await answer(choose({ pieces: ['2'], materialId: gone }), 201);
  const { items } = await answer<{ items: { kind: string; sentence: string }[] }>(
    archive.keeper.get(`/v1/sites/${site.siteId}/flags`),
    200,
  );
  expect(items.map(({ kind }) => kind)).toContain('glass-out-of-stock');
  const { glasses } = await list();
  expect(glasses.find(({ name }) => name === 'blue streaky')).toMatchObject({ missingSheets: 1 });
  await answer(choose({ pieces: ['2'], materialId: ruby }), 201);
});

describe('cost', () => {
  interface Cost {
    bySheet: { what: string; quantity: string; pricePerUnit: string | null; kind: string }[];
    byArea: { quantity: string; pricePerUnit: string | null }[];
    currencies: string[];
  }

  it('is whole sheets or area, and lead by the metre, in decimals', async () => {
    await answer(
      archive.keeper.put(`/v1/materials/${ruby}/price`, {
        currency: 'EUR',
        price: '91.10',
        per: 'm2',
      }),
      200,
    );
    const cost = await answer<Cost>(archive.keeper.get(`${panel}/cut-cost?currency=EUR`), 200);
    // 0.6 m × 0.5 m × 91.10
    expect(cost.bySheet[0]).toMatchObject({ quantity: '1', pricePerUnit: '27.33' });
    expect(cost.byArea[0]).toMatchObject({ pricePerUnit: '91.10' });
    expect(cost.currencies).toEqual(['EUR']);
    expect(
      cost.bySheet.filter(({ kind }) => kind === 'lead').map(({ pricePerUnit }) => pricePerUnit),
    ).toContain(null);
    const named = cost.bySheet.find(({ kind }) => kind === 'lead')!.what;
    const { materialId } = await answer<Entered>(
      archive.keeper.post('/v1/materials', { name: 'came', unit: 'm', quantity: '40' }),
      201,
    );
    await answer(
      archive.keeper.put(`/v1/materials/${materialId}/price`, {
        currency: 'EUR',
        price: '2.40',
        fits: named,
      }),
      200,
    );
    const again = await answer<Cost>(archive.keeper.get(`${panel}/cut-cost?currency=EUR`), 200);
    expect(again.bySheet.find(({ what }) => what === named)).toMatchObject({
      pricePerUnit: '2.40',
    });
  });

  it.each([
    ['a floating number', { currency: 'EUR', price: 12.5 }, 400],
    ['a currency that is no code', { currency: 'euro', price: '12' }, 400],
  ])('a price that is %s is refused', async (_what, body, status) => {
    await answer(archive.keeper.put(`/v1/materials/${ruby}/price`, body), status);
  });

  it('a price by area is for glass only', async () => {
    const { materialId } = await answer<Entered>(
      archive.keeper.post('/v1/materials', { name: 'solder', unit: 'kg', quantity: '2' }),
      201,
    );
    const price = { currency: 'EUR', price: '30', per: 'm2' };
    const refused = archive.keeper.put(`/v1/materials/${materialId}/price`, price);
    expect(await answer<object>(refused, 422)).toMatchObject({ type: '/problems/glass-unknown' });
  });

  it('a later price names the version before; the register of prices is not a reader’s', async () => {
    const price = { currency: 'EUR', price: '95', per: 'm2' };
    await answer(archive.keeper.put(`/v1/materials/${ruby}/price`, price), 428);
    const reader = await archive.person('reader', 'reader', site.siteId);
    await answer(reader.get(`${panel}/cut-cost`), 403);
    await answer(reader.get('/v1/glass-sheets'), 403);
    await answer(reader.get(`${panel}/cut-list`), 200);
  });
});

it('an offcut is named by its whole sheet, and cut before it', async () => {
  const left = await glass('ruby left', '1', { widthMm: 260, heightMm: 320, offcutOf: ruby });
  const [one] = (await list()).glasses;
  expect(one!.sheets.map(({ pieces }) => pieces.length)).toEqual([1, 1]);
  const own = archive.keeper.put(
    `/v1/materials/${ruby}/sheet`,
    { ...SHEET, offcutOf: left },
    { 'If-Match': '"1"' },
  );
  expect(await answer<object>(own, 422)).toMatchObject({ type: '/problems/glass-unknown' });
});

it('what was cut is a piece like any other: described, in the record, and not to be cut again', async () => {
  const body = { pieces: ['1'], happened: '2026-11', byRole: 'glazier' };
  await answer(archive.keeper.post(`${panel}/glass/cut`, { ...body, happened: 'soon' }), 422);
  await answer(archive.keeper.post(`${panel}/glass/cut`, body), 201);
  const { items } = await answer<{ items: { said: { layers: object[]; note: string } }[] }>(
    archive.keeper.get(`${panel}/techniques`),
    200,
  );
  expect(items).toHaveLength(1);
  expect(items[0]!.said.layers).toMatchObject([
    { glass: 'pot-metal', colour: 'ruby', thicknessMm: 3 },
  ]);
  expect(items[0]!.said.note).toBe('made new 2026-11, by glazier; cut from ruby streaky, batch 7');
  const again = archive.keeper.post(`${panel}/glass/cut`, body);
  expect(await answer<object>(again, 409)).toMatchObject({ type: '/problems/piece-exists' });
  await answer(choose({ pieces: ['1'], materialId: ruby }), 409);
  const after = await list();
  expect(after.cut).toEqual(['1']);
  expect(after.glasses.flatMap(({ pieces }) => pieces.map(({ piece }) => piece))).toEqual(['2']);
  expect((await list('?of=all')).glasses.flatMap(({ pieces }) => pieces)).toHaveLength(2);
  await answer(choose({ pieces: ['2'], materialId: null }), 201);
  expect((await list()).unchosen).toEqual(['2']);
  const bare = archive.keeper.post(`${panel}/glass/cut`, { ...body, pieces: ['2'] });
  expect(await answer<object>(bare, 422)).toMatchObject({ type: '/problems/glass-unchosen' });
});
