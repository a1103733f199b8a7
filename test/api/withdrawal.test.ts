/** A picture that may not be kept: its bytes go everywhere, what was recorded of it stays. */
import { createHash } from 'node:crypto';
import { existsSync } from 'node:fs';
import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { rebuildProjections } from '#libs/archive';
import { verifyDossier } from '#libs/dossier';
import { openObjectStore } from '#libs/objects';
import type { RunningWorker } from '../../apps/worker/src/start-worker.js';
import { type ApiArchive, answer, type Person, startApiArchive } from '../support/api-archive.js';
import { imageBytes } from '../support/media-archive.js';
import { projectionDump } from '../support/projection-dump.js';
import { untilJobsRest } from '../support/until-jobs-rest.js';

let archive: ApiArchive;
let site: Awaited<ReturnType<ApiArchive['site']>>;
let other: Awaited<ReturnType<ApiArchive['site']>>;
let recorder: Person;
let worker: RunningWorker | undefined;

interface Media {
  mediaId: string;
  digest: string;
  pyramid: string;
  note: string | null;
  withdrawn: { at: string; entrySeq: number; reason: string; destroyedAt: string | null } | null;
}

const bytes = imageBytes('orientation-1.jpg');
const digest = `sha256:${createHash('sha256').update(bytes).digest('hex')}`;

function send(siteId: string, fileName: string, more: Record<string, string> = {}, what = bytes) {
  const query = new URLSearchParams({ fileName, kind: 'photograph', ...more });
  return archive.keeper.put(`/v1/sites/${siteId}/media?${query.toString()}`, what, {
    'Content-Type': 'application/octet-stream',
  });
}

const said = { reason: 'taken without leave', askedBy: 'The Owner Herself' };

beforeAll(async () => {
  archive = await startApiArchive();
  site = await archive.site('SLM');
  other = await archive.site('OTH');
  recorder = await archive.person('recorder', 'recorder', site.siteId);
  worker = await archive.startWorker();
}, 60_000);
afterAll(async () => {
  await worker?.close();
  await archive.close();
});

/** Files of the store that hold these bytes or were made of them. */
async function storedFiles(): Promise<Set<string>> {
  const root = join(archive.config.home, 'objects', 'sha256');
  const found = await readdir(root, { recursive: true, withFileTypes: true });
  return new Set(found.filter((file) => file.isFile()).map((file) => `sha256:${file.name}`));
}

describe('withdrawing', () => {
  let mediaId: string;
  let derived: string[];

  beforeAll(async () => {
    const note = 'the ferryman, in raking light';
    const media = await answer<Media>(
      send(site.siteId, 'panel.jpg', { subjects: 'wI.1a', note }),
      201,
    );
    mediaId = media.mediaId;
    expect(media).toMatchObject({ digest, withdrawn: null });
    await answer(send(other.siteId, 'the-same.jpg', { subjects: 'wI.1a' }), 201);
    await untilJobsRest(archive.pool);
    const { rows } = await archive.pool.query<{ digest: string }>(
      'SELECT digest FROM derivative WHERE source_digest = $1',
      [digest],
    );
    derived = rows.map((row) => row.digest);
    expect(derived).toHaveLength(2);
    // once read, so that a server has it open
    await archive.keeper.get(`/iiif/3/${mediaId}/info.json`).expect(200);
    await archive.keeper.get(`/v1/media/${mediaId}/original`).expect(200);
  }, 60_000);

  it.each([
    ['a recorder', () => recorder, said, 403, 'role-insufficient'],
    ['no reason', () => archive.keeper, { askedBy: 'x' }, 400, 'request-invalid'],
    ['nobody who asked', () => archive.keeper, { reason: 'x' }, 400, 'request-invalid'],
  ])('is refused: %s', async (_, who, body, status, code) => {
    const { body: told } = await who().post(`/v1/media/${mediaId}/withdraw`, body).expect(status);
    expect(told).toMatchObject({ type: `/problems/${code}` });
  });

  it('says which other records hold the same bytes, and waits to be told so', async () => {
    const { body } = await archive.keeper.post(`/v1/media/${mediaId}/withdraw`, said).expect(409);
    expect(body).toMatchObject({ type: '/problems/media-shared', field: 'alsoShared' });
    expect((body as { detail: string }).detail).toContain('OTH.wI.1a');
    expect(await storedFiles()).toContain(digest);
  });

  it('destroys the bytes and all that was made of them; an entry says when', async () => {
    const before = (await answer<{ items: unknown[] }>(entries(), 200)).items.length;
    const withdrawn = await answer<Media>(
      archive.keeper.post(`/v1/media/${mediaId}/withdraw`, { ...said, alsoShared: true }),
      200,
    );
    expect(withdrawn).toMatchObject({
      pyramid: 'withdrawn',
      withdrawn: { reason: said.reason, entrySeq: before },
    });
    await untilJobsRest(archive.pool);
    const left = await storedFiles();
    expect([digest, ...derived].filter((one) => left.has(one))).toEqual([]);
    const { rows } = await archive.pool.query('SELECT 1 FROM derivative WHERE source_digest = $1', [
      digest,
    ]);
    expect(rows).toEqual([]);
    const told = await answer<{ items: { type: string; bytes: string }[] }>(entries(), 200);
    expect(told.items.slice(before).map(({ type }) => type)).toEqual([
      'media.withdraw',
      'media.record-destruction',
    ]);
    // who asked is a person: not in clear
    expect(Buffer.from(told.items[before]!.bytes, 'base64').toString()).not.toContain('Herself');
  }, 60_000);

  const entries = () => archive.keeper.get(`/v1/logs/${site.siteId}/entries?limit=500`);

  it.each([
    ['original', () => `/v1/media/${mediaId}/original`],
    ['picture', () => `/iiif/3/${mediaId}/full/max/0/default.jpg`],
  ])('its %s is answered with the tombstone', async (_, path) => {
    // a server that had the picture open looks again within two seconds
    for (const end = Date.now() + 10_000; Date.now() < end; ) {
      if ((await archive.keeper.get(path())).status === 410) break;
      await new Promise((resolve) => setTimeout(resolve, 100));
    }
    const { body } = await archive.keeper.get(path()).expect(410);
    expect(body).toMatchObject({ type: '/problems/object-withdrawn', digest });
    expect((body as { detail: string }).detail).toContain(said.reason);
  });

  it('what was recorded of it stays', async () => {
    const media = await answer<Media>(archive.keeper.get(`/v1/media/${mediaId}`), 200);
    expect(media).toMatchObject({ digest, note: 'the ferryman, in raking light' });
    expect(media.withdrawn!.destroyedAt).not.toBeNull();
    const found = await answer<{ items: unknown[] }>(
      archive.keeper.get('/v1/search?q=ferryman'),
      200,
    );
    expect(found.items).toHaveLength(1);
  });

  it('cannot be done twice, and the bytes are not taken in again', async () => {
    const again = await archive.keeper.post(`/v1/media/${mediaId}/withdraw`, said).expect(409);
    expect(again.body).toMatchObject({ type: '/problems/media-withdrawn' });
    const sent = await send(site.siteId, 'again.jpg').expect(410);
    expect(sent.body).toMatchObject({ type: '/problems/object-withdrawn' });
    expect(await storedFiles()).not.toContain(digest);
  });

  it('a dossier lists it as withdrawn', async () => {
    const asked = await answer<{ dossierId: string }>(
      archive.keeper.post(`/v1/sites/${site.siteId}/dossiers`, { subject: 'SLM', kind: 'keepers' }),
      202,
    );
    await untilJobsRest(archive.pool);
    const { rows } = await archive.pool.query<{ digest: string }>(
      'SELECT digest FROM dossier WHERE dossier_id = $1',
      [asked.dossierId],
    );
    const kept = rows[0]!.digest;
    const objects = await openObjectStore(archive.config.objects);
    const report = await verifyDossier(objects.path!(kept), {});
    expect(report.objects.withdrawn).toBe(1);
    expect(report.verdict).not.toBe('altered');
  }, 120_000);

  it('rows come out the same when they are made anew', async () => {
    const before = await projectionDump(archive.pool);
    expect(before['withdrawn_object']!.length).toBeGreaterThan(0);
    await rebuildProjections(archive.pool, await openObjectStore(archive.config.objects));
    expect(await projectionDump(archive.pool)).toEqual(before);
  });
});

it('killed between the entry and the destruction, a worker that starts later ends it', async () => {
  const what = imageBytes('orientation-6.jpg');
  const media = await answer<Media>(
    send(site.siteId, 'second.jpg', { subjects: 'wI.1b' }, what),
    201,
  );
  await untilJobsRest(archive.pool);
  await worker!.close();
  worker = undefined;
  await answer(archive.keeper.post(`/v1/media/${media.mediaId}/withdraw`, said), 200);
  const objects = await openObjectStore(archive.config.objects);
  // the entry stands, the bytes are there, and still nobody is given them
  expect(existsSync(objects.path!(media.digest))).toBe(true);
  await archive.keeper.get(`/v1/media/${media.mediaId}/original`).expect(410);
  worker = await archive.startWorker();
  await untilJobsRest(archive.pool);
  expect(existsSync(objects.path!(media.digest))).toBe(false);
}, 60_000);
