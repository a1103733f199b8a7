/** How pieces are made: layers, gauged thickness, the glass before; in the weight, the search and the record. */
import { type ApiArchive, answer, startApiArchive, twoPieces } from '../support/api-archive.js';

let archive: ApiArchive;
let site: Awaited<ReturnType<ApiArchive['site']>>;
let panelId: string;
const pieces: Record<string, string> = {};

interface Technique {
  pieceId: string;
  version: number;
  said: { layers: object[]; generations: object[] };
  entry: { seq: number };
}

beforeAll(async () => {
  archive = await startApiArchive();
  site = await archive.site('SLM');
  panelId = site.panels['1a']!;
  await archive.keeper
    .post(
      `/v1/panels/${panelId}/nets`,
      { sketch: twoPieces(), note: 'by hand' },
      { 'If-Match': '"0"' },
    )
    .expect(201);
  await archive.keeper.post(`/v1/panels/${panelId}/nets/1/sign`).expect(200);
  const { items } = await answer<{ items: { mark: string; pieceId: string }[] }>(
    archive.keeper.get(`/v1/panels/${panelId}/pieces`),
    200,
  );
  for (const { mark, pieceId } of items) pieces[mark] = pieceId;
}, 60_000);
afterAll(() => archive.close());

const put = (mark: string, body: object, headers = {}) =>
  archive.keeper.put(`/v1/pieces/${pieces[mark]!}/technique`, body, headers);
const all = () =>
  answer<{ items: Technique[] }>(archive.keeper.get(`/v1/panels/${panelId}/techniques`), 200);
const glass = (over: object = {}) => ({ is: 'glass', glass: 'flashed', ...over });

it.each([
  ['nothing at all', {}, 400],
  [
    'a flash on pot metal',
    { layers: [{ ...glass({ flash: { face: 'outside' } }), glass: 'pot-metal' }] },
    400,
  ],
  ['a glass that there is no word for', { layers: [glass({ glass: 'plastic' })] }, 400],
  [
    'an interlayer outermost',
    { layers: [glass(), { is: 'interlayer', material: 'silicone' }] },
    400,
  ],
  [
    'two interlayers with no glass between',
    {
      layers: [
        glass(),
        { is: 'interlayer', material: 'silicone' },
        { is: 'interlayer', material: 'air' },
        glass(),
      ],
    },
    400,
  ],
  ['a foil width without foil', { held: { by: 'came-h-flat', foilWidthMm: 5 } }, 400],
  ['a thickness of nothing', { layers: [glass({ thicknessMm: 0 })] }, 400],
  ['a map without a place', { layers: [glass({ gauged: [] })] }, 400],
  [
    'a place beside the piece',
    { layers: [glass({ gauged: [{ xyMm: [390, 150], thicknessMm: 4 }] })] },
    422,
  ],
  ['a day that is none', { layers: [glass()], happened: 'in spring' }, 422],
  [
    'a generation on a day that is none',
    { generations: [{ reason: 'lost', happened: 'long ago', original: { fate: 'lost' } }] },
    422,
  ],
  [
    'a generation that does not say where the glass went',
    { generations: [{ reason: 'lost' }] },
    400,
  ],
  [
    'the replacement of another piece',
    { generations: [{ mark: '2r2', reason: 'lost', original: { fate: 'lost' } }] },
    422,
  ],
  [
    'one replacement twice',
    {
      generations: ['1r2', '1r2'].map((mark) => ({
        mark,
        reason: 'lost',
        original: { fate: 'lost' },
      })),
    },
    422,
  ],
])('refuses %s and keeps nothing', async (_what, body, status) => {
  await answer(put('1', body), status);
  expect((await all()).items).toEqual([]);
});

it('refuses a reader, and a piece that is not there', async () => {
  const reader = await archive.person('reader', 'reader', site.siteId);
  await answer(reader.put(`/v1/pieces/${pieces['1']!}/technique`, { layers: [glass()] }), 403);
  const nobody = '/v1/pieces/00000000-0000-7000-8000-000000000001/technique';
  await answer(archive.keeper.put(nobody, { layers: [glass()] }), 404);
});

it('keeps every statement whole, each naming the one before', async () => {
  const first = await answer<Technique>(put('2', { layers: [glass()] }), 200);
  await answer(put('2', { layers: [glass({ thicknessMm: 3 })] }, { 'If-Match': '"1"' }), 412);
  const next = await answer<Technique>(
    put(
      '2',
      { held: { by: 'copper-foil', foilWidthMm: 5.5 }, note: 'the earlier layer was guessed' },
      { 'If-Match': `"${first.version}"` },
    ),
    200,
  );
  expect(next.said).toMatchObject({ layers: [], held: { foilWidthMm: 5.5 } });
  const { type, bytes } = await answer<{ type: string; bytes: string }>(
    archive.keeper.get(`/v1/logs/${site.siteId}/entries/${next.entry.seq}`),
    200,
  );
  expect(type).toBe('piece.technique');
  expect(JSON.parse(Buffer.from(bytes, 'base64').toString())).toMatchObject({
    supersedes: { seq: first.entry.seq },
  });
});

it('reckons a plated piece and a gauged one into the weight, and says so', async () => {
  const weigh = () =>
    answer<{
      weight: {
        pieces: { pieceId: string; grams: number; source: string; meanThicknessMm: number }[];
        formulas: string[];
      };
    }>(archive.keeper.get(`/v1/panels/${panelId}/weight`), 200);
  const of = async (mark: string) =>
    (await weigh()).weight.pieces.find(({ pieceId }) => pieceId === mark)!;
  const usual = await of('1');
  expect(usual).toMatchObject({ source: 'usual', meanThicknessMm: 3 });
  const places = [
    [30, 30, 4],
    [170, 30, 8],
    [170, 270, 8],
    [30, 270, 4],
  ].map(([x, y, thicknessMm]) => ({ xyMm: [x, y], thicknessMm }));
  await answer(
    put('1', {
      layers: [
        glass({ glass: 'drapery', gauged: places }),
        { is: 'interlayer', material: 'neutral silicone', thicknessMm: 0.5, densityGCm3: 1 },
        glass({
          thicknessMm: 2,
          flash: { face: 'outside', colour: 'ruby' },
          worked: [{ how: 'etched', face: 'outside', depthMm: 0.3 }],
          painted: [{ how: 'silver-stain', face: 'outside' }],
        }),
      ],
      generations: [
        {
          mark: '1r2',
          reason: 'shattered by hail',
          happened: '1925~',
          byRole: 'glazier',
          original: { fate: 'not-known' },
        },
      ],
    }),
    200,
  );
  const layered = await of('1');
  // a wedge from 4 to 8 mm is 6 mm on average over a rectangle; with 2 mm of plate, and 0.5 mm of 1 g/cm³
  expect(layered.meanThicknessMm).toBeCloseTo(8, 1);
  expect(layered.grams / usual.grams).toBeCloseTo((8 * 2.5 + 0.5) / (3 * 2.5), 1);
  expect((await weigh()).weight.formulas.join(' ')).toContain('pieces 1: by the layers described');
});

it('is found by what it is made of and by its generations', async () => {
  const found = async (query: string) => {
    const { items, facets } = await answer<{
      items: { subject: string }[];
      facets: Record<string, { value: string; label: string; count: number }[]>;
    }>(archive.keeper.get(`/v1/search?${query}`), 200);
    return { marks: items.map(({ subject }) => subject), facets };
  };
  expect((await found('generations=2')).marks).toEqual(['SLM.wI.1a.1']);
  expect((await found('technique=laminated')).marks).toEqual(['SLM.wI.1a.1']);
  expect((await found('technique=copper-foil&kind=piece')).marks).toEqual(['SLM.wI.1a.2']);
  expect((await found('technique=copper-foil&operation=foil')).marks).toEqual([]);
  const { marks, facets } = await found('q=ruby');
  expect(marks).toEqual(['SLM.wI.1a.1']);
  expect(facets['technique']).toContainEqual({
    value: 'silver-stain',
    label: 'silver stain',
    count: 1,
  });
});

it('stands in the condition record of the panel and of the piece', async () => {
  const page = async (mark: string) =>
    (await archive.keeper.get(`/v1/records/condition?subject=${mark}`).expect(200)) as unknown as {
      text: string;
    };
  const panel = (await page('SLM.wI.1a')).text;
  for (const told of [
    '4 to 8 mm, mean 6.0 mm, gauged at 4 places',
    'flash ruby on the outside',
    'flash etched by acid on the outside, 0.3 mm deep',
    'between: neutral silicone',
    '1r2: shattered by hail, 1925~, by glazier, the glass before: not known',
    'held by copper foil, 5.5 mm wide',
  ])
    expect(panel).toContain(told);
  const piece = (await page('SLM.wI.1a.2')).text;
  expect(piece).toContain('held by copper foil');
  expect(piece).not.toContain('shattered');
});

it('goes over to the drawn piece from the traced one', async () => {
  const other = site.panels['1b']!;
  const ringMm = [
    [10, 10],
    [190, 10],
    [190, 290],
    [10, 290],
  ];
  const traced = await answer<{ pieceId: string }>(
    archive.keeper.post(`/v1/panels/${other}/pieces`, { ringMm }),
    201,
  );
  await answer(
    archive.keeper.put(`/v1/pieces/${traced.pieceId}/technique`, { layers: [glass()] }),
    200,
  );
  await archive.keeper
    .post(
      `/v1/panels/${other}/nets`,
      { sketch: twoPieces(), note: 'by hand' },
      { 'If-Match': '"0"' },
    )
    .expect(201);
  await archive.keeper.post(`/v1/panels/${other}/nets/1/sign`).expect(200);
  const { items } = await answer<{
    items: { pieceId: string; provisional: boolean; mark: string }[];
  }>(archive.keeper.get(`/v1/panels/${other}/pieces`), 200);
  const drawn = items.find(({ provisional, mark }) => !provisional && mark === '1')!;
  const matches = [{ provisionalPieceId: traced.pieceId, pieceId: drawn.pieceId }];
  await archive.keeper.post(`/v1/panels/${other}/carry-over`, { matches }).expect(200);
  expect(await answer(archive.keeper.get(`/v1/panels/${other}/techniques`), 200)).toMatchObject({
    items: [{ pieceId: drawn.pieceId, said: { layers: [{ glass: 'flashed' }] } }],
  });
  await answer(
    archive.keeper.put(`/v1/pieces/${traced.pieceId}/technique`, { layers: [glass()] }),
    409,
  );
});
