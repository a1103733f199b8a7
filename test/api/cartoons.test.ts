/** A cartoon of new work to a lead drawing: looked at, taken, refused. */
import { readFileSync } from 'node:fs';
import { type ApiArchive, answer, startApiArchive } from '../support/api-archive.js';

let archive: ApiArchive;
let site: Awaited<ReturnType<ApiArchive['site']>>;

beforeAll(async () => {
  archive = await startApiArchive();
  site = await archive.site('SLM');
}, 60_000);
afterAll(() => archive.close());

const fixture = (name: string) =>
  readFileSync(new URL(`../../fixtures/cartoons/${name}`, import.meta.url), 'utf8');
const nets = (mark: string) => `/v1/panels/${site.panels[mark]!}/nets`;
const check = (body: object) => archive.keeper.post(`${nets('1a')}/import-check`, body);

const light = { fileName: 'light.svg', text: fixture('light.svg') };

describe('a cartoon', () => {
  it('is looked at before it is taken: size, layers, what was put right, the drawing', async () => {
    const found = await answer<{
      format: string;
      unitMm: number;
      widthMm: number;
      heightMm: number;
      layers: { name: string; lines: number; isUsed: boolean }[];
      repairs: { kind: string; sentence: string }[];
      net: { pieces: unknown[]; surface: string };
      sketch?: unknown;
    }>(check({ ...light, faceWidthMm: 5 }), 200);
    // the file's own size: 300 × 500 mm, in tenths
    expect(found).toMatchObject({ format: 'svg', layers: [{ name: 'inner', isUsed: true }] });
    expect(found.widthMm).toBeCloseTo(300, 1);
    expect(found.heightMm).toBeCloseTo(500, 0);
    expect(found.net.pieces).toHaveLength(9);
    expect(found.net.surface).toBe('plan');
    expect(found.repairs.map(({ kind }) => kind)).toContain('crossing-split');
    expect(found.sketch).toBeUndefined();
    const { items } = await answer<{ items: unknown[] }>(archive.keeper.get(nets('1a')), 200);
    expect(items).toEqual([]);
  });

  it('becomes a revision; the file is kept and named by the entry', async () => {
    const revision = await answer<
      Record<string, unknown> & { entry: { logId: string; seq: number } }
    >(
      archive.keeper.post(
        `${nets('1a')}/import`,
        { ...light, note: 'the designer’s cartoon' },
        { 'If-Match': '"0"' },
      ),
      201,
    );
    expect(revision).toMatchObject({
      revision: 1,
      madeBy: 'import/1',
      surface: 'plan',
      note: 'the designer’s cartoon',
      reading: null,
      rubbingId: null,
    });
    const { rows } = await archive.pool.query<{ role: string; n: number }>(
      `SELECT role, count(*)::int AS n FROM stored_object WHERE role IN ('cartoon', 'repairs') GROUP BY role ORDER BY role`,
    );
    expect(rows).toEqual([
      { role: 'cartoon', n: 1 },
      { role: 'repairs', n: 1 },
    ]);
  });

  it('drawn again keeps the numbers of the pieces, and says what differs', async () => {
    const inches = { fileName: 'light.dxf', text: fixture('light-r2010-inch.dxf') };
    const again = await answer<{ change: string }>(
      archive.keeper.post(
        `${nets('1a')}/import`,
        { ...inches, note: 'the same in inches' },
        { 'If-Match': '"1"' },
      ),
      201,
    );
    // chords of 0.05 mm to either side
    expect(again.change).toMatch(/^(nothing changed|\d+ leads? moved ≤ 0\.1 mm)$/);
    const stale = archive.keeper.post(
      `${nets('1a')}/import`,
      { ...light, note: 'late' },
      { 'If-Match': '"1"' },
    );
    expect(await answer<object>(stale, 412)).toMatchObject({ currentVersion: 2 });
  });

  it('is a recorder’s to give, not a reader’s', async () => {
    const reader = await archive.person('reader', 'reader');
    const asked = reader.post(`${nets('1a')}/import-check`, light);
    expect(await answer<object>(asked, 403)).toMatchObject({ type: '/problems/role-insufficient' });
  });
});

describe('what is refused, and why', () => {
  const entities = `<!DOCTYPE svg [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;">]><svg xmlns="http://www.w3.org/2000/svg"><text>&b;</text></svg>`;
  const svg = (d: string) =>
    `<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="300mm" viewBox="0 0 300 300"><path d="${d}"/></svg>`;
  it.each([
    ['a picture', 'light.png', '\u0089PNG', 'unknown-format'],
    ['entities', 'a.svg', entities, 'unsafe'],
    ['a file that breaks off', 'a.svg', '<svg><g>', 'not-well-formed'],
    ['GeoJSON without a unit', 'a.geojson', fixture('light-pieces.geojson'), 'unit-unknown'],
    ['lines that close round nothing', 'a.svg', svg('M0 0L300 300'), 'does-not-close'],
    ['a million points', 'a.svg', svg(`M0 0${'h.1v.1'.repeat(300_000)}`), 'too-large'],
  ])('%s', async (_, fileName, text, fault) => {
    const refused = await answer<{ detail: string }>(check({ fileName, text }), 422);
    expect(refused).toMatchObject({ type: '/problems/cartoon-unusable', field: 'text', fault });
    expect(refused.detail.length).toBeGreaterThan(20);
  });

  it('a file of more than six million letters', async () => {
    const asked = check({ fileName: 'a.svg', text: 'x'.repeat(6_000_001) });
    expect(await answer<object>(asked, 400)).toMatchObject({ field: 'text' });
    const body = archive.keeper.post(`${nets('1a')}/import-check`, { text: 'x'.repeat(9_000_000) });
    expect(await answer<object>(body, 413)).toMatchObject({ type: '/problems/body-too-large' });
  });

  it('an import of it, which stores nothing', async () => {
    const before = await archive.pool.query('SELECT count(*)::int AS n FROM entry');
    const asked = archive.keeper.post(
      `${nets('1a')}/import`,
      { fileName: 'a.svg', text: '<svg><g>', note: 'x' },
      { 'If-Match': '"2"' },
    );
    expect(await answer<object>(asked, 422)).toMatchObject({ fault: 'not-well-formed' });
    const after = await archive.pool.query('SELECT count(*)::int AS n FROM entry');
    expect(after.rows).toEqual(before.rows);
  });
});
