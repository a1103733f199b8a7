/** A lone command as one statement: written whole or not at all, and only where the logs stand as known. */
import type { PgPool } from '#libs/db';
import { leafHash, parseEntry } from '#libs/ledger';
import type { Archive } from './archive.js';
import { addPerson, recordFinding, reviseFinding } from './commands/index.js';
import { rebuildProjections } from './rebuild.js';
import { PROJECTIONS } from './tables.js';
import {
  crack as crackOf,
  openTestServers,
  projectionRows,
  type TestServers,
} from './test-servers.js';
import {
  camelCase,
  type NamedStatement,
  type SqlPool,
  type SqlPoolClient,
  type SqlResult,
} from './tx.js';
import { without } from './without.js';

let servers: TestServers;
let pool: PgPool;
/** the archive under test, and what it sends on the connections that write */
let here: Archive;
const sent: string[] = [];
/** set: every statement fails by it, as on a connection that broke */
let broken: Error | undefined;
/** done to the answer of a statement */
let answered: (text: string, result: SqlResult) => SqlResult = (_, result) => result;
let other: Archive;
let siteId: string;
let panelId: string;
let keeper: TestServers['keeper'];

function watched(of: PgPool): SqlPool {
  return {
    query: of.query.bind(of),
    async connect(): Promise<SqlPoolClient> {
      const client = await of.connect();
      return {
        async query(statement: string | NamedStatement, values?: unknown[]) {
          const text = typeof statement === 'string' ? statement : statement.text;
          sent.push(text);
          if (broken !== undefined) throw broken;
          return answered(text, await client.query(statement as string, values));
        },
        release: (error) => {
          client.release(error);
        },
      };
    },
  };
}

beforeAll(async () => {
  servers = await openTestServers(watched);
  ({ pool, here, other, panelId, siteId, keeper } = servers);
}, 60_000);
beforeEach(async () => {
  answered = (_, result) => result;
  broken = undefined;
  for (let i = 0; i < 2; i++) await here.run(recordFinding, crack('before'), keeper);
  sent.length = 0;
});
afterAll(() => servers.close());

function crack(note: string) {
  return { panelId, ...crackOf(note) };
}

/** How many entries say so, and how many findings. */
async function written(note: string): Promise<{ entries: number; findings: number }> {
  const { rows } = await pool.query<{ entries: number; findings: number }>(
    `SELECT (SELECT count(*)::int FROM entry WHERE log_id = $1
               AND convert_from(bytes, 'UTF8')::json #>> '{payload,note}' = $2) AS entries,
            (SELECT count(*)::int FROM finding WHERE note = $2) AS findings`,
    [siteId, note],
  );
  return rows[0]!;
}

describe('a lone command', () => {
  it('is one statement, which leaves entry, checkpoint and rows as any other way does', async () => {
    const { answer, entry } = await here.run(recordFinding, crack('alone'), {
      ...keeper,
      idempotencyKey: 'alone',
    });
    expect(sent).toEqual([expect.stringContaining('WITH moved AS')]);
    const { rows } = await pool.query<{ bytes: Buffer; leaf_hash: Buffer; note: string }>(
      `SELECT e.bytes, e.leaf_hash, c.note FROM entry e
       JOIN checkpoint c ON c.log_id = e.log_id AND c.size = e.seq + 1
       JOIN log l ON l.log_id = e.log_id AND l.size = c.size
       WHERE e.log_id = $1 AND e.seq = $2`,
      [entry.logId, entry.seq],
    );
    const [row] = rows;
    expect(parseEntry(new Uint8Array(row!.bytes))).toMatchObject({
      seq: entry.seq,
      payload: { findingId: answer.findingId, note: 'alone' },
    });
    expect(Buffer.from(leafHash(new Uint8Array(row!.bytes)))).toEqual(row!.leaf_hash);
    expect(row!.note.split('\n')[1]).toBe(`${entry.seq + 1}`);
    const again = await here.run(recordFinding, crack('alone'), {
      ...keeper,
      idempotencyKey: 'alone',
    });
    expect(again).toMatchObject({ replayed: true, answer, entry });
    expect(await written('alone')).toEqual({ entries: 1, findings: 1 });
  });

  it('leaves rows that a rebuild makes the same', async () => {
    const { answer } = await here.run(recordFinding, crack('rebuilt'), keeper);
    await here.run(
      reviseFinding,
      { ...without(crack('rebuilt, then moved'), 'panelId'), findingId: answer.findingId },
      { ...keeper, ifMatch: String(answer.version) },
    );
    expect(sent[0]).toContain('WITH moved AS');
    const before = await projectionRows(pool);
    await rebuildProjections(pool, here.objects);
    expect(await projectionRows(pool)).toEqual(before);
  });

  it('is written once where another server wrote on the site since', async () => {
    await other.run(recordFinding, crack('there'), keeper);
    const { entry } = await here.run(recordFinding, crack('here'), keeper);
    expect(sent[0]).toContain('WITH moved AS');
    expect(sent.at(-1)).toBe('COMMIT');
    expect(await written('here')).toEqual({ entries: 1, findings: 1 });
    sent.length = 0;
    const next = await here.run(recordFinding, crack('here again'), keeper);
    expect(next.entry.seq).toBe(entry.seq + 1);
    expect(sent).toHaveLength(1);
  });

  it('is asked anew where another server wrote for the studio since', async () => {
    await other.run(
      addPerson,
      { displayName: 'New', login: 'new', roles: [{ siteId, role: 'recorder' }] },
      keeper,
    );
    await here.run(recordFinding, crack('after the studio'), keeper);
    expect(sent.filter((text) => text.includes('FROM role_grant'))).toHaveLength(1);
    expect(await written('after the studio')).toEqual({ entries: 1, findings: 1 });
  });

  it('is not written again when the connection went before the answer came', async () => {
    answered = (text, result) => {
      if (!text.startsWith('WITH moved')) return result;
      throw new Error('Connection terminated unexpectedly'); // as node-postgres says it
    };
    const keyed = { ...keeper, idempotencyKey: 'on the line' };
    await expect(here.run(recordFinding, crack('on the line'), keyed)).rejects.toMatchObject({
      code: 'archive-unavailable',
    });
    expect(await written('on the line')).toEqual({ entries: 1, findings: 1 });
    answered = (_, result) => result;
    expect(await here.run(recordFinding, crack('on the line'), keyed)).toMatchObject({
      replayed: true,
    });
    expect(await written('on the line')).toEqual({ entries: 1, findings: 1 });
  });
});

describe('a command that asks the database while it is decided ahead of the lock', () => {
  it('leaves no refusal unheard when the connection is broken', async () => {
    const unheard: unknown[] = [];
    const hear = (reason: unknown) => unheard.push(reason);
    process.on('unhandledRejection', hear);
    const nobody = '018f3a5e-7b1c-7c3d-8e4f-000000000000';
    try {
      broken = new Error('Connection terminated unexpectedly'); // as node-postgres says it
      const asked = { ...crack('seen on a picture'), evidence: [nobody] };
      await expect(here.run(recordFinding, asked, keeper)).rejects.toMatchObject({
        code: 'archive-unavailable',
      });
      expect(sent.slice(0, 4)).toEqual([
        expect.stringContaining('BEGIN'),
        expect.stringContaining('FOR UPDATE'),
        expect.stringContaining('FROM log'),
        expect.stringContaining('FROM media'),
      ]);
      await new Promise((resolve) => setImmediate(resolve));
      expect(unheard).toEqual([]);
    } finally {
      process.off('unhandledRejection', hear);
    }
  });
});

describe('projections', () => {
  it('name every column that holds JSON, which a row on its own is written by', async () => {
    const { rows } = await pool.query<{ table_name: string; column_name: string }>(
      `SELECT table_name, column_name FROM information_schema.columns
       WHERE table_schema = 'public' AND data_type IN ('json', 'jsonb')`,
    );
    const found = rows.flatMap(({ table_name, column_name }) =>
      table_name in PROJECTIONS ? [`${table_name} ${camelCase(column_name)}`] : [],
    );
    const named = Object.entries(PROJECTIONS).flatMap(([table, { json }]) =>
      json.map((column) => `${table} ${column}`),
    );
    expect(found.sort()).toEqual(named.sort());
  });
});
