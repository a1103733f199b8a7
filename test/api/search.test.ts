/** What the past is asked: by words, marks, terms, materials, dates and places, with counts. */
import {
  type ApiArchive,
  answer,
  type Person,
  startApiArchive,
  twoPieces,
} from '../support/api-archive.js';

interface Found {
  items: { kind: string; subject: string; title: string; happened: string | null }[];
  total: number | null;
  facets: Record<string, { value: string; label: string; count: number }[]> | null;
  next: string | null;
}

let archive: ApiArchive;
let reader: Person;
let site: Awaited<ReturnType<ApiArchive['site']>>;
let other: Awaited<ReturnType<ApiArchive['site']>>;

const search = (query: string, who: Person = archive.keeper) =>
  answer<Found>(who.get(`/v1/search?${query}`), 200);
const marks = async (query: string, who?: Person) =>
  (await search(query, who)).items.map((item) => item.subject).sort();

async function work(siteId: string, body: object) {
  await archive.keeper.post(`/v1/sites/${siteId}/interventions`, body).expect(201);
}

async function draw(panelId: string) {
  await archive.keeper
    .post(
      `/v1/panels/${panelId}/nets`,
      { sketch: twoPieces(), note: 'by hand' },
      { 'If-Match': '"0"' },
    )
    .expect(201);
  await archive.keeper.post(`/v1/panels/${panelId}/nets/1/sign`).expect(200);
  const told = await answer<{ items: { pieceId: string; mark: string; version: number }[] }>(
    archive.keeper.get(`/v1/panels/${panelId}/pieces`),
    200,
  );
  return Object.fromEntries(told.items.map((piece) => [piece.mark, piece]));
}

beforeAll(async () => {
  archive = await startApiArchive();
  site = await archive.site('SLM');
  other = await archive.site('FAR');
  reader = await archive.person('reader', 'reader', site.siteId);
  const pieces = await draw(site.panels['1a']!);
  await draw(other.panels['1a']!);
  // work first, described afterwards: it is found by what the piece shows all the same
  await work(site.siteId, {
    subjects: ['wI.1a.1'],
    operation: 'repaint.cold',
    byRole: 'Painter',
    happened: '1931~',
  });
  await archive.keeper
    .put(
      `/v1/pieces/${pieces['1']!.pieceId}`,
      { shows: 'face of the ferryman' },
      { 'If-Match': `"${pieces['1']!.version}"` },
    )
    .expect(200);
  await work(site.siteId, {
    subjects: ['wI.1a.1', 'wI.1a.2'],
    operation: 'bond.epoxy',
    material: 'Epoxy resin, clear',
    happened: '1998',
  });
  await work(site.siteId, {
    subjects: ['wI.1a.1'],
    operation: 'bond.epoxy',
    material: 'epoxy  resin, CLEAR',
    happened: '2012-05',
  });
  await work(site.siteId, {
    subjects: ['wI.1a.2r2'],
    operation: 'replace',
    happened: '1870/1890',
    note: 'blue glass',
  });
  await work(site.siteId, {
    subjects: ['wI.2b'],
    operation: 'clean.dry',
    happened: '1925?',
    note: '=HYPERLINK("x"), he said',
  });
  await work(other.siteId, { subjects: ['wI.1a.1'], operation: 'bond.epoxy', happened: '1990' });
  await archive.keeper
    .post(`/v1/panels/${site.panels['1a']!}/findings`, {
      term: 'glass.crack.simple',
      geometry: {
        kind: 'line',
        xyMm: [
          [20, 20],
          [60, 60],
        ],
      },
      face: 'inside',
      happened: '2026-11-02',
    })
    .expect(201);
}, 120_000);
afterAll(async () => {
  await archive.close();
});

describe('questions', () => {
  it('epoxy on wI before 2000, at every site and at one', async () => {
    expect(await marks('q=epoxy&mark=wI&to=1999')).toEqual(['FAR.wI.1a.1', 'SLM.wI.1a.1']);
    expect(await marks('q=epoxy&mark=SLM.wI&to=1999')).toEqual(['SLM.wI.1a.1']);
    expect(await marks('q=epoxy&mark=wI&site=FAR&to=1999')).toEqual(['FAR.wI.1a.1']);
  });

  it('who repainted faces', async () => {
    const found = await search('operation=repaint.cold&operation=repaint.plate&shows=Face');
    expect(found.items.map((item) => item.subject)).toEqual(['SLM.wI.1a.1']);
    expect(found.facets!['role']).toEqual([{ value: 'painter', label: 'painter', count: 1 }]);
  });

  it('all pieces with two generations', async () => {
    expect(await marks('kind=piece&generations=2')).toEqual(['SLM.wI.1a.2']);
    expect(await marks('kind=piece&generations=3')).toEqual([]);
    await work(site.siteId, { subjects: ['wI.1a.2r3'], operation: 'replace', happened: '1950' });
    expect(await marks('kind=piece&generations=3')).toEqual(['SLM.wI.1a.2']);
  });

  it('a mark is found with all that lies in it, a piece also by its replacement', async () => {
    expect(await marks('mark=SLM.wI.2b')).toEqual(['SLM.wI.2b']);
    expect(await marks('mark=SLM.wI.1a.2&kind=intervention&to=1900')).toEqual(['SLM.wI.1a.2r2']);
    expect((await marks('mark=SLM.wI&kind=intervention')).length).toBe(6);
    // of several marks that one act names, each leads to it
    expect(await marks('mark=SLM.wI.1a.2&operation=bond.epoxy')).toEqual(['SLM.wI.1a.1']);
  });

  it('an earlier number leads to what is found under the mark it has become', async () => {
    await archive.keeper
      .post(`/v1/sites/${site.siteId}/aliases`, {
        mark: 'wI.2b',
        scheme: 'survey 1978',
        text: 'W 4',
        source: 'its plan',
      })
      .expect(201);
    expect(await marks('mark=w-4&kind=intervention')).toEqual(['SLM.wI.2b']);
  });

  it('materials are one, however they were typed', async () => {
    const found = await search('material=EPOXY%20resin,%20clear');
    expect(found.items).toHaveLength(2);
    expect(found.facets!['material']).toEqual([
      { value: 'epoxy resin, clear', label: 'epoxy resin, clear', count: 2 },
    ]);
  });
});

describe('dates', () => {
  it.each([
    // about 1931 reaches five years to both sides
    ['from=1927&to=1928', ['SLM.wI.1a.1']],
    ['from=1927&to=1928&dates=certainly', []],
    ['from=1920&to=1940&dates=certainly', ['SLM.wI.1a.1']],
    // a doubted year is never certain
    ['from=1920&to=1926', ['SLM.wI.1a.1', 'SLM.wI.2b']],
    ['from=1800&to=1895&dates=certainly', ['SLM.wI.1a.2r2']],
    ['from=1885&to=1888', ['SLM.wI.1a.2r2']],
    ['from=1925~&to=1925~', ['SLM.wI.1a.1', 'SLM.wI.2b']],
    ['from=1700&to=1750', []],
  ])('%s', async (query, wanted) => {
    expect(await marks(`kind=intervention&${query}`)).toEqual(wanted);
  });

  it('counts a span in each decade that it touches', async () => {
    const { facets } = await search('operation=replace&to=1900');
    expect(facets!['decade']).toEqual([
      { value: '1870', label: '1870s', count: 1 },
      { value: '1880', label: '1880s', count: 1 },
      { value: '1890', label: '1890s', count: 1 },
    ]);
  });
});

describe('a drawn area', () => {
  it('on a panel finds what lies within by its own shape, and work by its pieces', async () => {
    const lower = 'in=SLM.wI.1a&area=0,0%20100,0%20100,100%200,100';
    expect(await marks(`${lower}&kind=finding`)).toEqual(['SLM.wI.1a.1']);
    expect(await marks('in=SLM.wI.1a&area=0,200%20100,200%20100,290%200,290&kind=finding')).toEqual(
      [],
    );
    expect(
      await marks('in=SLM.wI.1a&area=250,50%20380,50%20380,250%20250,250&operation=replace'),
    ).toEqual(['SLM.wI.1a.2r2', 'SLM.wI.1a.2r3']);
  });

  it('over a window takes panels that lie in it whole', async () => {
    const whole2b = 'in=SLM.wI&area=510,-10%201010,-10%201010,610%20510,610';
    expect(await marks(`${whole2b}&kind=intervention`)).toEqual(['SLM.wI.2b']);
  });
});

describe('who may read', () => {
  it('sees hits, counts, tables and places of no other site', async () => {
    expect(await marks('q=epoxy', reader)).toEqual(['SLM.wI.1a.1', 'SLM.wI.1a.1']);
    const found = await search('operation=bond.epoxy', reader);
    expect(found.total).toBe(2);
    expect(found.facets!['window']).toEqual([{ value: 'SLM.wI', label: 'SLM.wI', count: 2 }]);
    const table = await reader.get('/v1/search.csv?operation=bond.epoxy').expect(200);
    expect((table as unknown as { text: string }).text).not.toContain('FAR');
    await reader.get('/v1/search?mark=FAR.wI').expect(404);
    await reader.get(`/v1/windows/${other.windowId}/search`).expect(404);
    await archive.anyone.get('/v1/search?q=epoxy').expect(401);
  });
});

describe('the table', () => {
  it('holds every hit, quoted as RFC 4180 section 2 says, and starts no formula', async () => {
    const told = await archive.keeper.get('/v1/search.csv?kind=intervention&site=SLM').expect(200);
    expect(told.headers['content-type']).toContain('text/csv');
    const { text } = told as unknown as { text: string };
    const lines = text.split('\r\n');
    expect(lines).toHaveLength(1 + 6 + 1);
    expect(lines[0]).toMatch(/^kind,mark,title,text,happened/);
    expect(text).toContain('"SLM.wI.1a.1, SLM.wI.1a.2: bond, epoxy"');
    expect(text).toContain('=HYPERLINK(""x"")');
    expect(text).not.toMatch(/(^|,)"?[=+@-]/m);
  });
});

it('pages through what was counted, without losing or doubling', async () => {
  const all = await search('kind=intervention&limit=100');
  const seen: string[] = [];
  let next: string | null = '';
  while (next !== null) {
    const page: Found = await search(
      `kind=intervention&limit=2${next === '' ? '' : `&after=${next}`}`,
    );
    seen.push(...page.items.map((item) => item.title));
    ({ next } = page);
  }
  expect(seen).toEqual(all.items.map((item) => item.title));
  expect(seen).toHaveLength(all.total!);
});

it('says how many hits each panel and piece of a window bears', async () => {
  const told = await answer<{ panels: object[]; pieces: object[]; isPart: boolean }>(
    archive.keeper.get(`/v1/windows/${site.windowId}/search?operation=bond.epoxy`),
    200,
  );
  expect(told).toEqual({
    panels: [{ mark: 'SLM.wI.1a', count: 2 }],
    pieces: [
      { mark: 'SLM.wI.1a.1', count: 2 },
      { mark: 'SLM.wI.1a.2', count: 1 },
    ],
    isPart: false,
  });
});

describe('refuses', () => {
  it.each([
    ['from=sometime', 422, 'date-invalid'],
    ['from=2000&to=1990', 400, 'request-invalid'],
    ['mark=nowhere-9', 404, 'mark-unknown'],
    ['area=0,0%201,1&in=SLM.wI', 422, 'geometry-invalid'],
    ['area=0,0%209,0%209,9&in=SLM', 422, 'geometry-invalid'],
    ['area=0,0%209,0%209,9', 400, 'request-invalid'],
    ['mark=SLM&mark=SLM.wI', 400, 'request-invalid'],
    ['after=nonsense', 400, 'request-invalid'],
  ])('%s', async (query, status, code) => {
    const told = await archive.keeper.get(`/v1/search?${query}`);
    expect([told.status, (told.body as { type: string }).type]).toEqual([
      status,
      `/problems/${code}`,
    ]);
  });
});

it('fills rows of an earlier version with the very filters that they have when written', async () => {
  const { rows: before } = await archive.pool.query(
    'SELECT * FROM search_row ORDER BY site_id, kind, row_id',
  );
  await archive.pool.query('UPDATE search_row SET keys = NULL, earliest = NULL, latest = NULL');
  const worker = await archive.startWorker();
  for (let tries = 0; tries < 100; tries++) {
    const { rows } = await archive.pool.query(
      'SELECT 1 FROM search_row WHERE keys IS NULL LIMIT 1',
    );
    if (rows.length === 0) break;
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
  await worker.close();
  const { rows: after } = await archive.pool.query(
    'SELECT * FROM search_row ORDER BY site_id, kind, row_id',
  );
  expect(after).toEqual(before);
}, 60_000);
