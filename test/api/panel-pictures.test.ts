/** All pictures of a panel can be had page by page, however many they are. */
import { randomBytes } from 'node:crypto';
import sharp from 'sharp';
import { type MediaArchive, startMediaArchive } from '../support/media-archive.js';

interface Media {
  mediaId: string;
  fileName: string;
  kind: string;
  recordedAt: string;
}
interface Page {
  items: Media[];
  next: string | null;
}
interface Panel {
  counts: { media: number; pictures: number };
  media: Media[];
  mediaNext: string | null;
}

let archive: MediaArchive;
let panelId: string;
let list: string;
let sent = 0;

beforeAll(async () => {
  archive = await startMediaArchive();
  const { body } = await archive.keeper.json<{ panelId: string }>('GET', '/v1/marks/SLM.wI.1a');
  ({ panelId } = body);
  list = `/v1/panels/${panelId}/media`;
  for (let i = 0; i < 7; i++) await send({});
  await send({ subjects: 'SLM.wI.2a' });
}, 60_000);
afterAll(() => archive.close());

/** A picture that nobody sent before. */
async function send(said: Record<string, string>): Promise<string> {
  const query = new URLSearchParams({
    fileName: `${sent++}.jpg`,
    kind: 'photograph',
    subjects: 'SLM.wI.1a',
    ...said,
  });
  const bytes = await sharp(randomBytes(40 * 30 * 3), {
    raw: { width: 40, height: 30, channels: 3 },
  })
    .jpeg()
    .toBuffer();
  const path = `/v1/sites/${archive.siteId}/media?${query.toString()}`;
  const response = await archive.keeper.fetch(path, {
    method: 'PUT',
    body: bytes,
    headers: { 'Content-Type': 'image/jpeg' },
  });
  expect(response.status).toBe(201);
  return ((await response.json()) as Media).mediaId;
}

async function page(limit: number, after: string | null = null): Promise<Page> {
  const query = new URLSearchParams({ limit: String(limit), ...(after === null ? {} : { after }) });
  const { status, body } = await archive.keeper.json<Page>('GET', `${list}?${query.toString()}`);
  expect(status).toBe(200);
  expect(body.items.length).toBeLessThanOrEqual(limit);
  return body;
}

/** Every page of so many, from a place on. */
async function pages(limit: number, after: string | null = null): Promise<Media[]> {
  const first = await page(limit, after);
  return first.next === null ? first.items : [...first.items, ...(await pages(limit, first.next))];
}

const panel = async () => (await archive.keeper.json<Panel>('GET', `/v1/panels/${panelId}`)).body;
const ids = (media: readonly Media[]) => media.map(({ mediaId }) => mediaId);
/** What the database holds of the panel, ordered by it. */
const held = async () =>
  (
    await archive.pool.query<{ id: string }>(
      `SELECT media_id AS id FROM media WHERE 'SLM.wI.1a' = ANY(subjects)
       ORDER BY recorded_at DESC, media_id DESC`,
    )
  ).rows.map(({ id }) => id);

it.each([1, 2, 3, 7, 500])('in pages of %i are all of them, newest first', async (limit) => {
  const all = await pages(limit);
  expect(all.map(({ fileName }) => fileName)).toEqual([6, 5, 4, 3, 2, 1, 0].map((n) => `${n}.jpg`));
  const { media, mediaNext, counts } = await panel();
  expect(media).toEqual(all);
  expect(mediaNext).toBeNull();
  expect(counts).toMatchObject({ media: 7, pictures: 7 });
});

it('that came in at the same moment are neither lost nor shown twice between pages', async () => {
  await archive.pool.query(
    `UPDATE media SET recorded_at = (SELECT recorded_at FROM media WHERE file_name = '3.jpg')
     WHERE file_name IN ('2.jpg', '4.jpg', '5.jpg')`,
  );
  const expected = await held();
  expect(ids(await pages(1))).toEqual(expected);
  expect(ids(await pages(3))).toEqual(expected);
});

it('while a new one comes in, the pages that follow stay as they were', async () => {
  const before = await held();
  const first = await page(3);
  const fresh = await send({ kind: 'document' });
  const second = await page(3, first.next);
  const last = await pages(3, second.next);
  expect(ids([...first.items, ...second.items, ...last])).toEqual(before);
  expect(ids(await pages(3))).toEqual([fresh, ...before]);
  expect((await panel()).counts).toMatchObject({ media: 8, pictures: 7 });
});

const cursor = (key: unknown) => Buffer.from(JSON.stringify(key)).toString('base64url');
it.each([
  ['after', 'nothing of this archive'],
  ['after', cursor(['today', 'here'])],
  ['after', cursor(['2026-02-31T25:00:00Z', '00000000-0000-4000-8000-000000000000'])],
  ['after', cursor([new Date(0).toISOString(), "' OR true"])],
  ['after', cursor([new Date(0).toISOString()])],
  ['after', cursor([5, 6])],
  ['limit', '0'],
  ['limit', '501'],
  ['limit', 'all'],
])('asked for with %s=%s are refused in words', async (field, value) => {
  const query = new URLSearchParams({ [field]: value }).toString();
  const { status, body, headers } = await archive.keeper.json('GET', `${list}?${query}`);
  expect(status).toBe(400);
  expect(headers.get('content-type')).toContain('application/problem+json');
  expect(body).toMatchObject({ type: '/problems/request-invalid', field });
});

it('of a panel that is not there are refused', async () => {
  const path = '/v1/panels/00000000-0000-4000-8000-000000000000/media';
  const { status, body } = await archive.keeper.json('GET', path);
  expect([status, body['type']]).toEqual([404, '/problems/panel-unknown']);
});

it('before the newest 500 follow on the panel’s own answer, which keeps what is worked with', async () => {
  const [laid, other] = ids(await pages(500)).slice(-2) as [string, string];
  const done = await archive.keeper.json('PUT', `/v1/panels/${panelId}/placements/${laid}`, {
    points: [
      [0, 0],
      [40, 0],
      [40, 30],
      [0, 30],
    ].map(([x, y]) => ({ imageXyPx: [x, y], panelXyMm: [x! * 10, y! * 10] })),
  });
  expect(done.status).toBe(200);
  await archive.pool.query(`UPDATE media SET kind = 'rubbing' WHERE file_name = '1.jpg'`);
  // Six months on the bench, as rows: the newest picture over and over, a minute apart.
  await archive.pool.query(
    `INSERT INTO media SELECT later.* FROM media m, generate_series(1, 804) n,
       jsonb_populate_record(NULL::media, to_jsonb(m) || jsonb_build_object(
         'media_id', gen_random_uuid(), 'file_name', 'later ' || n,
         'recorded_at', m.recorded_at + n * interval '1 minute')) later
     WHERE m.file_name = '6.jpg'`,
  );
  const expected = await held();
  expect(expected).toHaveLength(812);
  const { media, mediaNext, counts } = await panel();
  expect(counts).toMatchObject({ media: 812, pictures: 811 });
  const rubbing = media.find(({ kind }) => kind === 'rubbing')!.mediaId;
  expect(ids(media).slice(0, 500)).toEqual(expected.slice(0, 500));
  expect(new Set(ids(media).slice(500))).toEqual(new Set([laid, rubbing]));
  expect(ids(media)).not.toContain(other);
  expect(ids(await pages(100, mediaNext))).toEqual(expected.slice(500));
});
