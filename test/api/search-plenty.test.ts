/** Found, counted and paged as if every row had been looked at: 24,000 rows against a plain filter over them. */
import { FINDING_TERMS, OPERATIONS } from '#libs/vocabulary';
import {
  type BenchRow,
  benchRow,
  benchSiteCode,
  benchSiteId,
  SITES,
} from '../bench/search/rows.js';
import { type ApiArchive, answer, startApiArchive } from '../support/api-archive.js';

const ROWS = 24_000;
const COUNTED_MAX = 10_000;
const PAGE = 50;

interface Found {
  items: { rowId: string }[];
  total: number | null;
  facets: Record<string, { value: string; count: number }[]> | null;
  next: string | null;
}

let archive: ApiArchive;
/** newest first, as pages are */
let rows: readonly BenchRow[];

beforeAll(async () => {
  archive = await startApiArchive();
  for (let site = 0; site < SITES; site++) {
    await archive.pool.query(
      `INSERT INTO site (site_id, code, unit, name, scheme, place, version, added_at)
       VALUES ($1, $2, NULL, $2, 'church', NULL, 1, '1987-01-05')`,
      [benchSiteId(site), benchSiteCode(site)],
    );
  }
  const all = Array.from({ length: ROWS }, (_, i) => benchRow(i, ROWS));
  for (let from = 0; from < ROWS; from += 4000) {
    const some = all.slice(from, from + 4000).map((row) => ({
      site_id: row.siteId,
      row_id: row.rowId,
      kind: row.kind,
      subject: row.subject,
      window_mark: row.windowMark,
      happened: row.happened,
      earliest: row.earliest,
      latest: row.latest,
      happened_sure: row.happenedSure,
      keys: row.keys,
      title: row.title,
      text: row.text,
      recorded_at: row.recordedAt,
    }));
    const columns = Object.keys(some[0]!).join(', ');
    await archive.pool.query(
      `INSERT INTO search_row (${columns})
       SELECT ${columns} FROM json_populate_recordset(NULL::search_row, $1::json)`,
      [JSON.stringify(some)],
    );
  }
  rows = all.sort(
    (a, b) => Number(b.recordedAt) - Number(a.recordedAt) || (a.rowId < b.rowId ? 1 : -1),
  );
}, 120_000);
afterAll(() => archive.close());

const says =
  (...beginnings: string[]) =>
  ({ title, text }: BenchRow) => {
    const words = `${title} ${text}`.toLowerCase().split(/[^a-z]+/);
    return beginnings.every((one) => words.some((word) => word.startsWith(one)));
  };
const bears =
  (...keys: string[]) =>
  (row: BenchRow) =>
    keys.some((key) => row.keys.includes(key));
const both =
  (...all: ((row: BenchRow) => boolean)[]) =>
  (row: BenchRow) =>
    all.every((one) => one(row));
const by = (day: string) => (row: BenchRow) =>
  (bears('d:long')(row) || row.earliest !== null) && (row.earliest ?? '') <= day;

const [operation] = OPERATIONS;
const [term] = FINDING_TERMS;
const sII = Array.from({ length: SITES }, (_, site) => `w:${benchSiteCode(site)}.sII`);

const QUESTIONS: readonly (readonly [string, (row: BenchRow) => boolean])[] = [
  ['', () => true],
  ['q=p', says('p')],
  ['q=epoxy', says('epoxy')],
  ['q=old+putty', says('old', 'putty')],
  ['q=Thin+FILM', says('thin', 'film')],
  ['q=shel+bee', says('shel', 'bee')],
  ['q=zirconium', says('zirconium')],
  ['kind=finding', ({ kind }) => kind === 'finding'],
  ['kind=piece&generations=3', bears('g:3')],
  [`operation=${operation!.key}`, bears(`o:${operation!.key}`)],
  [`term=${term!.key}&q=putty`, both(bears(`t:${term!.key}`), says('putty'))],
  ['q=epoxy&mark=sII&to=1999', both(says('epoxy'), bears(...sII), by('1999-12-31'))],
  ['kind=intervention&to=1899', both(({ kind }) => kind === 'intervention', by('1899-12-31'))],
  ['role=glazier&material=shellac', both(bears('r:glazier'), bears('x:shellac'))],
];

const ask = (query: string) =>
  answer<Found>(archive.keeper.get(`/v1/search?limit=${PAGE}&${query}`), 200);

it.each(QUESTIONS)('%s', async (query, isHit) => {
  const hits = rows.filter(isHit);
  const first = await ask(query);
  expect(first.total).toBe(Math.min(hits.length, COUNTED_MAX + 1));
  const ids = hits.map(({ rowId }) => rowId);
  expect(first.items.map(({ rowId }) => rowId)).toEqual(ids.slice(0, PAGE));
  if (hits.length > PAGE) {
    const second = await ask(`${query}&after=${first.next}`);
    expect(second.items.map(({ rowId }) => rowId)).toEqual(ids.slice(PAGE, 2 * PAGE));
  }

  const counted = new Map<string, number>();
  for (const { keys } of hits)
    for (const key of keys) counted.set(key, (counted.get(key) ?? 0) + 1);
  const letters: Record<string, string> = { kind: 'k', operation: 'o', term: 't', decade: 'd' };
  for (const [facet, letter] of Object.entries(letters)) {
    const told = Object.fromEntries(first.facets![facet]!.map((one) => [one.value, one.count]));
    const wanted = Object.fromEntries(
      [...counted].flatMap(([key, n]) => (key.startsWith(`${letter}:`) ? [[key.slice(2), n]] : [])),
    );
    if (hits.length <= COUNTED_MAX) expect(told).toEqual(wanted);
    else
      for (const [value, n] of Object.entries(told)) expect(n).toBeLessThanOrEqual(wanted[value]!);
  }
  const kinds = first.facets!['kind']!.reduce((sum, { count }) => sum + count, 0);
  expect(kinds).toBe(first.total);
});

it('some of these have more hits than are counted', () => {
  const plenty = QUESTIONS.filter(([, isHit]) => rows.filter(isHit).length > COUNTED_MAX);
  expect(plenty.map(([query]) => query)).toEqual(
    expect.arrayContaining(['', 'q=p', 'kind=finding']),
  );
});
