import { createHash } from 'node:crypto';
import { readFile } from 'node:fs/promises';
import { rebuildProjections } from '#libs/archive';
import {
  leafHash,
  openNote,
  parseCheckpoint,
  parseEntry,
  verifierKey,
  verifyConsistency,
  verifyInclusion,
} from '#libs/ledger';
import { openObjectStore } from '#libs/objects';
import { type ApiArchive, startApiArchive, twoPieces } from '../support/api-archive.js';
import { projectionDump } from '../support/projection-dump.js';

const FILLED = [
  'key_event',
  'person',
  'role_grant',
  'site',
  'window',
  'panel',
  'piece',
  'alias',
  'rubbing',
  'net_revision',
  'finding',
  'intervention',
  'dossier',
  'search_row',
  'witnessed_log',
];

let archive: ApiArchive;
let site: Awaited<ReturnType<ApiArchive['site']>>;

beforeAll(async () => {
  archive = await startApiArchive();
  site = await archive.site('SLM');
  await fill();
}, 60_000);
afterAll(() => archive.close());

/** One of each kind of entry that needs no picture. */
async function fill(): Promise<void> {
  const { keeper } = archive;
  const panel = `/v1/panels/${site.panels['1a']!}`;
  const read = await keeper.get(panel);
  await keeper
    .put(panel, { shows: 'a ferryman', workState: 'out' }, { 'If-Match': read.headers['etag']! })
    .expect(200);
  const ringMm = [
    [10, 10],
    [190, 10],
    [190, 290],
    [10, 290],
  ];
  const traced = await keeper.post(`${panel}/pieces`, { ringMm, shows: 'face' }).expect(201);
  const crack = { term: 'glass.crack.simple', face: 'inside', happened: '2026-05' };
  const geometry = {
    kind: 'line',
    xyMm: [
      [20, 20],
      [20, 120],
    ],
  };
  await keeper
    .post(`${panel}/findings`, { ...crack, geometry, note: 'on the tracing' })
    .expect(201);
  await keeper
    .post(`${panel}/nets`, { sketch: twoPieces(), note: 'by hand' }, { 'If-Match': '"0"' })
    .expect(201);
  await keeper.post(`${panel}/nets/1/sign`).expect(200);
  const pieces = (await keeper.get(`${panel}/pieces`).expect(200)).body as {
    items: { pieceId: string; mark: string; provisional: boolean }[];
  };
  const { pieceId } = pieces.items.find((piece) => !piece.provisional && piece.mark === '1')!;
  const provisionalPieceId = (traced.body as { pieceId: string }).pieceId;
  await keeper
    .post(`${panel}/carry-over`, { matches: [{ provisionalPieceId, pieceId }] })
    .expect(200);
  const made = await keeper.post(`${panel}/findings`, { ...crack, geometry }).expect(201);
  const { findingId, version } = made.body as { findingId: string; version: number };
  const xyMm = Array.from({ length: 900 }, (_, i) => [i / 9 + 20, (i % 7) + 20]);
  const revised = { ...crack, geometry: { kind: 'line', xyMm }, note: 'longer' };
  await keeper
    .put(`/v1/findings/${findingId}`, revised, { 'If-Match': `"${version}"` })
    .expect(200);
  const wrong = await keeper.post(`${panel}/findings`, { ...crack, geometry }).expect(201);
  await keeper
    .post(`/v1/findings/${(wrong.body as { findingId: string }).findingId}/withdraw`, {
      reason: 'twice',
    })
    .expect(200);
  await keeper
    .post(`/v1/sites/${site.siteId}/interventions`, {
      subjects: ['wI.1a.1'],
      operation: 'bond.epoxy',
      happened: '1931~',
      detail: { batch: '7', parts: 2 },
    })
    .expect(201);
  await keeper
    .post(`/v1/sites/${site.siteId}/aliases`, {
      mark: 'wI',
      scheme: 'fr',
      text: 'baie 0',
      source: 'survey',
    })
    .expect(201);
  await keeper
    .post(`${panel}/rubbings`, { conditions: { notRubbedBecause: 'paint is loose' } })
    .expect(201);
  await keeper
    .post(`/v1/sites/${site.siteId}/dossiers`, { subject: 'wI', kind: 'handed-out' })
    .expect(202);
  const window = await keeper.get(`/v1/windows/${site.windowId}`).expect(200);
  const { drawing } = window.body as { drawing: { lights: object[] } };
  const lights = drawing.lights.map((light) => ({ ...light, rowHeightsMm: [500, 700] }));
  await keeper
    .put(
      `/v1/windows/${site.windowId}/drawing`,
      { drawing: { ...drawing, lights: lights.slice(0, 1) } },
      { 'If-Match': window.headers['etag']! },
    )
    .expect(200);
  await archive.person('glazier', 'recorder', site.siteId);
  // the key of the published example of C2SP signed-note
  const verifierKeys = ['example.com/foo+530d903a+AekyeRrm56hApGFkyQR4ZCbV54Id2LKaANYcrnKv3U2k'];
  await keeper.post('/v1/witness/logs', { origin: 'example.com/foo', verifierKeys }).expect(201);
}

interface LogList {
  verifierKey: { publicKey: string; fingerprint: string };
  items: { logId: string; origin: string; size: number; rootHash: string }[];
}

const bytesOf = (base64: string) => new Uint8Array(Buffer.from(base64, 'base64'));

async function siteLog() {
  const list = (await archive.keeper.get('/v1/logs').expect(200)).body as LogList;
  const log = list.items.find((one) => one.logId === site.siteId)!;
  return { log, publicKey: bytesOf(list.verifierKey.publicKey) };
}

describe('what a reader can check', () => {
  it('the checkpoint is signed by the archive and says the log’s size and root', async () => {
    const { log, publicKey } = await siteLog();
    const { text } = await archive.keeper.get(`/v1/logs/${log.logId}/checkpoint`).expect(200);
    const note = openNote(text, [verifierKey(log.origin, publicKey)]);
    expect(note.failed).toEqual([]);
    expect(note.verified).toHaveLength(1);
    const head = parseCheckpoint(note.text);
    expect(head).toMatchObject({ origin: log.origin, size: log.size });
    expect(Buffer.from(head.root).toString('base64')).toBe(log.rootHash);
  });

  it('every entry is in the tree, by its proof', async () => {
    const { log } = await siteLog();
    const { body } = await archive.keeper
      .get(`/v1/logs/${log.logId}/entries?limit=500`)
      .expect(200);
    const { items } = body as { items: { seq: number; bytes: string; leafHash: string }[] };
    expect(items).toHaveLength(log.size);
    for (const { seq, bytes, leafHash: told } of items) {
      const leaf = leafHash(bytesOf(bytes));
      expect(Buffer.from(leaf).toString('hex')).toBe(told);
      expect(parseEntry(bytesOf(bytes))).toMatchObject({ seq, log: log.origin, v: 1 });
      const proof = (await archive.keeper.get(`/v1/logs/${log.logId}/proof?seq=${seq}`).expect(200))
        .body as { size: number; hashes: string[] };
      const head = { size: log.size, root: bytesOf(log.rootHash) };
      expect(proof.size).toBe(log.size);
      expect(verifyInclusion(leaf, seq, head, proof.hashes.map(bytesOf))).toBe(true);
      const another = leafHash(Buffer.from(`${bytes} `));
      expect(verifyInclusion(another, seq, head, proof.hashes.map(bytesOf))).toBe(false);
    }
  });

  it('the log only grew, from every size', async () => {
    const { log } = await siteLog();
    const second = { size: log.size, root: bytesOf(log.rootHash) };
    for (let from = 1; from <= log.size; from++) {
      const { body } = await archive.keeper
        .get(`/v1/logs/${log.logId}/consistency?from=${from}`)
        .expect(200);
      const proof = body as { fromRootHash: string; hashes: string[] };
      const first = { size: from, root: bytesOf(proof.fromRootHash) };
      expect(verifyConsistency(first, second, proof.hashes.map(bytesOf))).toBe(true);
    }
  });

  it.each(['proof?seq=0&size=100000', 'proof?seq=100000', 'consistency?from=3&to=2'])(
    'there is no proof for %s',
    async (query) => {
      const { body } = await archive.keeper.get(`/v1/logs/${site.siteId}/${query}`).expect(422);
      expect(body).toMatchObject({ type: '/problems/proof-unavailable' });
    },
  );

  it('lies ready as tiles and bundles (C2SP tlog-tiles) for tools that read logs', async () => {
    const { log } = await siteLog();
    const files = async (path: string, status = 200) => {
      const answer = await fetch(`${archive.url}/v1/logs/${log.logId}/tile/${path}`, {
        headers: { Cookie: archive.cookie },
      });
      expect(answer.status).toBe(status);
      return Buffer.from(await answer.arrayBuffer());
    };
    expect(log.size).toBeLessThan(256);
    const bundle = await files(`entries/000.p/${log.size}`);
    // a bundle, as the form says: 16 bits of length, big-endian, then the entry; a leaf: RFC 6962 2.1
    const leaves: Buffer[] = [];
    for (let at = 0; at < bundle.length; at += 2 + bundle.readUInt16BE(at)) {
      const entry = bundle.subarray(at + 2, at + 2 + bundle.readUInt16BE(at));
      leaves.push(createHash('sha256').update('\0').update(entry).digest());
    }
    expect(leaves).toHaveLength(log.size);
    expect(await files(`0/000.p/${log.size}`)).toEqual(Buffer.concat(leaves));
    expect(await files('0/000.p/2')).toEqual(Buffer.concat(leaves.slice(0, 2)));
    for (const path of ['0/000', `0/000.p/${log.size + 1}`, '1/000.p/1', '0/0', '0/x000/000.p/1']) {
      await files(path, 404);
    }
  });

  it('times never run backwards in a log', async () => {
    const { rows } = await archive.pool.query<{ n: number }>(
      `SELECT count(*)::int AS n FROM entry a JOIN entry b ON b.log_id = a.log_id AND b.seq = a.seq + 1
       WHERE b.recorded_at < a.recorded_at`,
    );
    expect(rows[0]!.n).toBe(0);
  });

  it('a copy of the newest checkpoint lies beside the objects', async () => {
    const { log } = await siteLog();
    const { text } = await archive.keeper.get(`/v1/logs/${log.logId}/checkpoint`).expect(200);
    const objects = await openObjectStore(archive.config.objects);
    let copy: Uint8Array | undefined;
    // copied after the answer, and no oftener than twice a second
    while (copy === undefined) {
      copy = await objects.readNamed(`checkpoints/${log.logId}/${log.size}`);
      if (copy === undefined) await new Promise((resolve) => setTimeout(resolve, 20));
    }
    expect(Buffer.from(copy).toString()).toBe(text);
  });
});

describe('projections', () => {
  it('come out the same when they are made anew from the ledger', async () => {
    const before = await projectionDump(archive.pool);
    // what this story fills; every kind of change: see the tests of rebuilding
    for (const table of FILLED) expect([table, before[table]!.length > 0]).toEqual([table, true]);
    // Whatever happened to the rows meanwhile: the ledger is the truth.
    await archive.pool.query(`UPDATE finding SET note = 'somebody was here', in_panel = NULL`);
    await archive.pool.query('DELETE FROM piece');
    const objects = await openObjectStore(archive.config.objects);
    const entries = await rebuildProjections(archive.pool, objects);
    expect(entries).toBeGreaterThan(18);
    expect(await projectionDump(archive.pool)).toEqual(before);
  });

  it('hold what the story says', async () => {
    const tables = await projectionDump(archive.pool);
    const finding = tables['finding']!.find(
      (row) => (row as { note: string }).note === 'on the tracing',
    );
    // named after the provisional piece 1, carried over to piece 1 of the signed drawing
    expect(finding).toMatchObject({ in_panel: '1', net_revision: 1 });
    const retired = tables['panel']!.filter((row) => (row as { retired: boolean }).retired);
    expect(retired.map((row) => (row as { mark: string }).mark).sort()).toEqual(['1b', '2b']);
  });
});

it('keeps every object that an entry names', async () => {
  const { rows } = await archive.pool.query<{ digest: string }>('SELECT digest FROM stored_object');
  expect(rows.length).toBeGreaterThan(3);
  for (const { digest } of rows) {
    const hex = digest.slice('sha256:'.length);
    const objects = await openObjectStore(archive.config.objects);
    expect(await objects.has(digest)).toBe(true);
    const bytes = await readFile(objects.path!(digest));
    expect(createHash('sha256').update(bytes).digest('hex')).toBe(hex);
  }
});
