/** A batch is as good as its commands one by one: the same answers, refusals, entries and rows. */
import { generateKeyPairSync } from 'node:crypto';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { createPool, createTestDatabase, type PgPool, type TestDatabase } from '#libs/db';
import {
  Frontier,
  inclusionProof,
  leafHash,
  parseEntry,
  rootFrom,
  type TreeNode,
  verifyInclusion,
} from '#libs/ledger';
import { FileObjectStore } from '#libs/objects';
import { Problem } from '#libs/problem';
import { Archive } from './archive.js';
import { type AnyCommand, BatchWriter, type Waiting } from './batch-writer.js';
import type { Command } from './command.js';
import { recordFinding, reviseFinding, startArchive, withdrawFinding } from './commands/index.js';
import { NotedReads } from './grouped-reads.js';
import { uuidV7 } from './id.js';
import { TileReader } from './log-tiles.js';
import { rebuildProjections } from './rebuild.js';
import { requestDigest } from './request-digest.js';
import { grantsOf } from './role.js';
import { ringOf, signerFromKey } from './signer.js';
import { crack, drawPanel, projectionRows } from './test-servers.js';
import { Tx } from './tx.js';

let database: TestDatabase;
let pool: PgPool;
let folder: string;
let archive: Archive;
let writer: BatchWriter;
const keeper = uuidV7(Date.now());

interface Place {
  siteId: string;
  panelId: string;
  /** findings that stood before the programs */
  findings: string[];
}

beforeAll(async () => {
  database = await createTestDatabase();
  pool = createPool(database.applicationUrl, { max: 4 });
  folder = await mkdtemp(join(tmpdir(), 'batches-'));
  const signer = signerFromKey(generateKeyPairSync('ed25519').privateKey);
  const ports = {
    pool,
    objects: await FileObjectStore.open(folder),
    jobs: { send: () => Promise.resolve() },
  };
  archive = await Archive.open({ ...ports, signer });
  writer = new BatchWriter({
    ...ports,
    keys: ringOf(signer),
    clock: Date.now,
    archiveId: () => archive.archiveId,
    committed: () => undefined,
  });
  await archive.run(
    startArchive,
    { displayName: 'Head', login: 'head', password: 'a long pass phrase' },
    { actorId: keeper },
  );
}, 60_000);
afterAll(async () => {
  await archive.close();
  await pool.end();
  await database.drop();
  await rm(folder, { recursive: true, force: true });
});

async function place(code: string): Promise<Place> {
  const asking = { actorId: keeper };
  const { siteId, panelId } = await drawPanel(archive, asking, code);
  const findings: string[] = [];
  for (const note of ['first', 'second']) {
    const { answer } = await archive.run(recordFinding, { panelId, ...crack(note) }, asking);
    findings.push(answer.findingId);
  }
  return { siteId, panelId, findings };
}

/** Fails in the middle of its projection, after its entry and a row were put. */
const failing = {
  ...recordFinding,
  type: 'finding.record',
  project: async (entry: never, tx: Tx, ports: never) => {
    await recordFinding.project(entry, tx, ports);
    throw new Error('the projection broke');
  },
};
/** Writes a row that the database refuses, at whatever time it is written. */
const poisoned = {
  ...recordFinding,
  project: async (entry: { payload: object }, tx: Tx, ports: never) => {
    const payload = { ...entry.payload, term: null };
    await tx.put(
      { table: 'finding', key: ['findingId'], json: ['geometry', 'measure'], whenThere: 'fail' },
      payload,
    );
    await recordFinding.project(entry as never, tx, ports);
  },
};

type Step =
  | { kind: 'record' | 'badly' | 'failing' | 'poisoned'; note: string }
  | { kind: 'revise' | 'withdraw'; which: number; version: number | undefined; note: string }
  | { kind: 'keyed'; key: number; note: string };

const note = fc.constantFrom('a', 'b', 'c');
const step: fc.Arbitrary<Step> = fc.oneof(
  { weight: 5, arbitrary: fc.record({ kind: fc.constant('record' as const), note }) },
  {
    weight: 3,
    arbitrary: fc.record({
      kind: fc.constantFrom('revise' as const, 'withdraw' as const),
      which: fc.constantFrom(0, 1),
      version: fc.constantFrom(undefined, 1, 2, 3, 5, 8),
      note,
    }),
  },
  {
    weight: 3,
    arbitrary: fc.record({ kind: fc.constant('keyed' as const), key: fc.nat(3), note }),
  },
  {
    weight: 1,
    arbitrary: fc.record({
      kind: fc.constantFrom('badly' as const, 'failing' as const, 'poisoned' as const),
      note,
    }),
  },
);

async function waitingFor(at: Place, one: Step, run: number): Promise<Waiting> {
  const nobody = '018f3a5e-7b1c-7c3d-8e4f-000000000000';
  let command: AnyCommand = recordFinding as unknown as AnyCommand;
  let said: object = { panelId: at.panelId, ...crack(one.note) };
  let ifMatch: string | undefined;
  if (one.kind === 'badly') said = { panelId: at.panelId, ...crack(one.note, [nobody]) };
  if (one.kind === 'failing') command = failing as unknown as AnyCommand;
  if (one.kind === 'poisoned') command = poisoned as unknown as AnyCommand;
  if (one.kind === 'revise' || one.kind === 'withdraw') {
    const findingId = at.findings[one.which]!;
    ifMatch = one.version === undefined ? undefined : String(one.version);
    const isRevision = one.kind === 'revise';
    command = (isRevision ? reviseFinding : withdrawFinding) as unknown as AnyCommand;
    said = isRevision ? { findingId, ...crack(one.note) } : { findingId, reason: one.note };
  }
  const body: unknown = command.body.parse(said);
  const reads = new NotedReads(pool, archive.reads);
  await command.siteOf(body as never, reads);
  await grantsOf(reads, keeper);
  const { prepare } = command as unknown as Pick<
    Command<unknown, unknown, object, unknown>,
    'prepare'
  >;
  const prepared = await prepare?.(body, {
    tx: reads,
    objects: archive.objects,
  });
  const idempotencyKey = one.kind === 'keyed' ? `${at.siteId} ${run} ${one.key}` : undefined;
  return {
    command,
    body,
    prepared,
    siteId: at.siteId,
    asking: { actorId: keeper, idempotencyKey, ifMatch },
    digest: requestDigest(command.type, body, ifMatch),
    asked: reads.asked,
  };
}

type Ending = Awaited<ReturnType<BatchWriter['write']>>[number];

/** What a person is told, without ids and times. */
function told(ended: Ending): unknown {
  if ('refusal' in ended) {
    const { refusal } = ended;
    return refusal instanceof Problem ? refusal.code : (refusal as Error).message;
  }
  const { status, replayed, entry } = ended.outcome;
  const { findingId, siteId, panelId, recordedAt, ...answer } = ended.outcome.answer as Record<
    string,
    unknown
  >;
  expect([findingId, siteId, panelId, recordedAt].every((one) => typeof one === 'string')).toBe(
    true,
  );
  return { status, replayed, seq: entry.seq, answer: { ...answer, entry: undefined } };
}

async function rowsOf({ siteId }: Place): Promise<unknown> {
  const { rows } = await pool.query(
    `SELECT in_panel, term, geometry, measure, face, layer, note, state, entry_seq, version FROM finding
     WHERE site_id = $1 ORDER BY entry_seq`,
    [siteId],
  );
  const entries = await entriesOf(siteId);
  return {
    rows,
    entries: entries.map((bytes) => {
      const { seq, type, subject, supersedes } = parseEntry(bytes);
      return { seq, type, subject: subject?.slice(3), supersedes };
    }),
  };
}

async function entriesOf(logId: string): Promise<Uint8Array[]> {
  const { rows } = await pool.query<{ bytes: Buffer }>(
    'SELECT bytes FROM entry WHERE log_id = $1 ORDER BY seq',
    [logId],
  );
  return rows.map(({ bytes }) => new Uint8Array(bytes));
}

describe('a batch', () => {
  it('does what its commands do one by one', async () => {
    const together = await place('TOG');
    const apart = await place('APA');
    let run = 0;
    await fc.assert(
      fc.asyncProperty(fc.array(step, { minLength: 2, maxLength: 24 }), async (program) => {
        run += 1;
        const inOne = [];
        const alone = [];
        for (const one of program) {
          inOne.push(await waitingFor(together, one, run));
          alone.push(await waitingFor(apart, one, run));
        }
        const ends = await writer.write(together.siteId, inOne);
        const singly: Ending[] = [];
        for (const one of alone) singly.push(...(await writer.write(apart.siteId, [one])));
        expect(ends.map(told)).toEqual(singly.map(told));
        expect(await rowsOf(together)).toEqual(await rowsOf(apart));
      }),
      { numRuns: 25 },
    );
    const live = await projectionRows(pool);
    await rebuildProjections(pool, archive.objects);
    expect(await projectionRows(pool)).toEqual(live);
  }, 120_000);

  it.each([
    ['failing', failing],
    ['poisoned', poisoned],
  ])(
    'of 64 loses only the command that is %s',
    async (_, bad) => {
      const at = await place(_ === 'failing' ? 'FAI' : 'POI');
      const batch: Waiting[] = [];
      for (let i = 0; i < 64; i++) {
        const one = await waitingFor(at, { kind: 'record', note: `n${i}` }, 0);
        batch.push(i === 31 ? { ...one, command: bad as unknown as AnyCommand } : one);
      }
      const ended = await writer.write(at.siteId, batch);
      expect(ended.flatMap((end, i) => ('refusal' in end ? [i] : []))).toEqual([31]);
      const { rows } = await pool.query<{ note: string }>(
        'SELECT note FROM finding WHERE site_id = $1 ORDER BY entry_seq',
        [at.siteId],
      );
      const kept = Array.from({ length: 64 }, (__, i) => `n${i}`).filter((n) => n !== 'n31');
      expect(rows.map((row) => row.note)).toEqual(['first', 'second', ...kept]);
    },
    60_000,
  );
});

describe('tiles of hashes', () => {
  it('prove every entry of a log with full tiles, as RFC 9162 section 2.1.3 verifies it', async () => {
    const at = await place('TIL');
    while ((await entriesOf(at.siteId)).length < 520) {
      const batch: Waiting[] = [];
      for (let i = 0; i < 100; i++)
        batch.push(await waitingFor(at, { kind: 'record', note: `t${i}` }, 0));
      await writer.write(at.siteId, batch);
    }
    const entries = await entriesOf(at.siteId);
    const tiles = await pool.query<{ n: number }>(
      'SELECT count(*)::int AS n FROM log_tile WHERE log_id = $1',
      [at.siteId],
    );
    expect(tiles.rows[0]!.n).toBe(2);
    const whole = new Frontier();
    for (const bytes of entries) whole.append(leafHash(bytes));
    const reader = new TileReader(new Tx(pool), at.siteId);
    for (const size of [1, 255, 256, 257, 511, 512, 513, entries.length]) {
      const tree = new Frontier();
      for (const bytes of entries.slice(0, size)) tree.append(leafHash(bytes));
      const root = tree.root();
      expect(await rootFrom(reader, size)).toEqual(new Uint8Array(root));
      for (const index of [0, size >> 1, size - 1]) {
        const proof = await inclusionProof(reader, index, size);
        expect(verifyInclusion(leafHash(entries[index]!), index, { size, root }, proof)).toBe(true);
      }
    }
    const { rows } = await pool.query<{ root: Buffer }>(
      'SELECT root_hash AS root FROM log WHERE log_id = $1',
      [at.siteId],
    );
    expect(new Uint8Array(rows[0]!.root)).toEqual(whole.root());
  }, 120_000);

  it('come out of a row for every node, as logs were kept before', async () => {
    const nodes: TreeNode[] = [];
    const tree = new Frontier();
    for (let i = 0; i < 700; i++)
      tree.append(leafHash(new TextEncoder().encode(`entry ${i}`)), (node) => nodes.push(node));
    const owner = createPool(database.ownerUrl, { max: 1 });
    const client = await owner.connect();
    try {
      await client.query('CREATE SCHEMA before; SET search_path = before');
      await client.query(
        'CREATE TABLE log_node (log_id text, level int, index bigint, hash bytea)',
      );
      await client.query(
        `INSERT INTO log_node SELECT 'x', * FROM unnest($1::int[], $2::bigint[], $3::bytea[])`,
        [
          nodes.map(({ level }) => level),
          nodes.map(({ index }) => index),
          nodes.map(({ hash }) => Buffer.from(hash)),
        ],
      );
      const file = join('prisma', 'migrations', '0007_append', 'migration.sql');
      await client.query(await readFile(file, 'utf8'));
      const { rows } = await client.query<{ index: string; hashes: Buffer; root: Buffer }>(
        'SELECT index, hashes, root FROM log_tile ORDER BY level, index',
      );
      const hashOf = (level: number, index: number) =>
        nodes.find((node) => node.level === level && node.index === index)!.hash;
      expect(rows).toHaveLength(2);
      for (const [i, { index, hashes, root }] of rows.entries()) {
        expect(Number(index)).toBe(i);
        expect(new Uint8Array(root)).toEqual(new Uint8Array(hashOf(8, i)));
        const leaves = Array.from({ length: 256 }, (_, at) => hashOf(0, 256 * i + at));
        expect(hashes).toEqual(Buffer.concat(leaves));
      }
    } finally {
      client.release(true);
      await owner.end();
    }
  });
});
