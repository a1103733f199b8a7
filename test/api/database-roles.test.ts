/**
 * What the application's own credentials can do to the history: add to it. Every table that the
 * catalogue calls append-only is tried, so that a table forgotten in the grants is found here.
 */
import { createPool, type PgClient, type PgPool } from '#libs/db';
import { type ApiArchive, startApiArchive } from '../support/api-archive.js';
import { everyRow } from '../support/every-row.js';

let archive: ApiArchive;
let application: PgPool;
let app: PgClient;
let all: PgPool;
let atStart: Map<string, string[]>;

beforeAll(async () => {
  archive = await startApiArchive();
  await archive.site('SLM');
  all = createPool(archive.ownerUrl, { max: 1 });
  application = createPool(archive.config.databaseUrl, { max: 1 });
  app = await application.connect();
  atStart = await everyRow(all);
}, 60_000);
afterAll(async () => {
  app.release();
  await application.end();
  await all.end();
  await archive.close();
});

/** Tables that a row, once written, stays in; `log` besides, of which the head alone moves on. */
async function appendOnly(): Promise<string[]> {
  const { rows } = await all.query<{ name: string }>(
    `SELECT tgrelid::regclass::text AS name FROM pg_trigger WHERE tgname = 'append_only' ORDER BY 1`,
  );
  return rows.map((row) => row.name);
}

/** Runs it as the application would, and takes back what it did, if it did anything. */
async function tried(...statements: string[]): Promise<string> {
  await app.query('BEGIN');
  try {
    let rowCount: number | null = 0;
    for (const sql of statements) ({ rowCount } = await app.query(sql));
    return `done, ${rowCount ?? 0} rows`;
  } catch (error) {
    return String((error as { code?: string }).code);
  } finally {
    await app.query('ROLLBACK');
  }
}

// PostgreSQL appendix A: 42501 insufficient_privilege, of a missing right or of the trigger.
const REFUSED = '42501';

it('no table of the ledger was forgotten', async () => {
  // what a log is made of (architecture: entries, hashes, heads, objects), and nothing less
  expect(await appendOnly()).toEqual(
    expect.arrayContaining(['checkpoint', 'entry', 'log', 'log_tile', 'stored_object']),
  );
  // rights and triggers must agree: a table without DELETE for the application has the trigger
  const { rows } = await all.query<{ name: string }>(
    `SELECT c.oid::regclass::text AS name FROM pg_class c
     WHERE c.relnamespace = 'public'::regnamespace AND c.relkind = 'r' AND c.relname NOT LIKE '\\_prisma%'
       AND NOT has_table_privilege('mullion_app', c.oid, 'DELETE') ORDER BY 1`,
  );
  expect(rows.map((row) => row.name)).toEqual(await appendOnly());
});

describe('each append-only table', () => {
  const ways: [string, (table: string, column: string) => string[]][] = [
    ['UPDATE', (t, c) => [`UPDATE ${t} SET ${c} = ${c}`]],
    ['DELETE', (t) => [`DELETE FROM ${t}`]],
    ['TRUNCATE', (t) => [`TRUNCATE ${t}`]],
    ['TRUNCATE … CASCADE', (t) => [`TRUNCATE ${t} CASCADE`]],
    [
      'a write inside a query',
      (t) => [`WITH gone AS (DELETE FROM ${t} RETURNING 1) SELECT count(*) FROM gone`],
    ],
    ['MERGE', (t) => [`MERGE INTO ${t} USING (SELECT 1) s ON true WHEN MATCHED THEN DELETE`]],
    ['DROP TABLE', (t) => [`DROP TABLE ${t}`]],
    ['DROP … CASCADE', (t) => [`DROP TABLE ${t} CASCADE`]],
    ['DROP TRIGGER', (t) => [`DROP TRIGGER append_only ON ${t}`]],
    ['DISABLE TRIGGER', (t) => [`ALTER TABLE ${t} DISABLE TRIGGER append_only`]],
    ['DISABLE TRIGGER ALL', (t) => [`ALTER TABLE ${t} DISABLE TRIGGER ALL`]],
    ['RENAME', (t) => [`ALTER TABLE ${t} RENAME TO elsewhere`]],
    ['DROP COLUMN', (t, c) => [`ALTER TABLE ${t} DROP COLUMN ${c}`]],
    ['OWNER', (t) => [`ALTER TABLE ${t} OWNER TO mullion_app`]],
    ['a rule', (t) => [`CREATE RULE r AS ON INSERT TO ${t} DO INSTEAD NOTHING`]],
    [
      'a trigger of its own',
      (t) => [
        `CREATE TRIGGER r BEFORE INSERT ON ${t} FOR EACH ROW EXECUTE FUNCTION refuse_change()`,
      ],
    ],
    ['row security', (t) => [`ALTER TABLE ${t} ENABLE ROW LEVEL SECURITY`]],
    ['GRANT to itself', (t) => [`GRANT ALL ON ${t} TO mullion_app`, `DELETE FROM ${t}`]],
    [
      'a child that inherits',
      (t) => [`CREATE SCHEMA aside`, `CREATE TABLE aside.child () INHERITS (${t})`],
    ],
    [
      'session_replication_role',
      (t) => [`SET LOCAL session_replication_role = replica`, `DELETE FROM ${t}`],
    ],
    ['SET ROLE', (t) => [`SET LOCAL ROLE mullion_owner`, `DELETE FROM ${t}`]],
    [
      'SESSION AUTHORIZATION',
      (t) => [`SET LOCAL SESSION AUTHORIZATION mullion_owner`, `DELETE FROM ${t}`],
    ],
  ];

  it.each(ways)('withstands %s', async (_, sql) => {
    const tables = await appendOnly();
    expect(tables.length).toBeGreaterThan(4);
    for (const table of tables) {
      const { rows } = await all.query<{ column: string }>(
        `SELECT quote_ident(attname) AS column FROM pg_attribute
         WHERE attrelid = $1::regclass AND attnum = 1`,
        [table],
      );
      expect([table, await tried(...sql(table, rows[0]!.column))]).toEqual([table, REFUSED]);
    }
  });
});

describe('what stands round the tables', () => {
  it.each([
    [
      'the function of the triggers made anew',
      [
        'CREATE OR REPLACE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN RETURN NULL; END $$',
      ],
    ],
    ['the function of the triggers dropped', ['DROP FUNCTION refuse_change() CASCADE']],
    ['a file read by the server', [`COPY entry FROM '/dev/null'`]],
    ['a program run by the server', [`COPY entry TO PROGRAM 'true'`]],
    [
      'the catalogue itself',
      [`UPDATE pg_trigger SET tgenabled = 'D' WHERE tgname = 'append_only'`],
    ],
    ['a role that may more', ['CREATE ROLE other SUPERUSER']],
    ['more rights for itself', ['ALTER ROLE mullion_app SUPERUSER']],
    ['membership in the owner', ['GRANT mullion_owner TO mullion_app']],
    ['a table in the schema of the ledger', ['CREATE TABLE public.entry2 (a int)']],
    ['the log’s head moved backwards', ['UPDATE log SET size = size - 1']],
    ['the log’s head left where it is', ['UPDATE log SET size = size']],
    ['the log’s origin', [`UPDATE log SET origin = origin || 'x'`]],
    [
      'the time of the last entry turned back',
      [`UPDATE log SET size = size + 1, last_at = last_at - interval '1 hour'`],
    ],
    ['what was applied to the tables', ['DELETE FROM _prisma_migrations']],
    [
      'a key of names changed',
      [`UPDATE keeping.subject_key SET key = decode(repeat('00', 32), 'hex')`],
    ],
  ])('withstands: %s', async (_, statements) => {
    expect(await tried(...statements)).toBe(REFUSED);
  });

  it('a table of the same name on the search path catches nothing of the owner’s', async () => {
    // the application may make temporary tables; the history itself stays where it is
    const before = await everyRow(all);
    await app.query('CREATE TEMPORARY TABLE entry (a int)');
    await app.query('DELETE FROM entry');
    await app.query('DROP TABLE pg_temp.entry');
    expect(await everyRow(all)).toEqual(before);
  });

  it('triggers stand before every one of them, for the owner too', async () => {
    for (const table of await appendOnly()) {
      // 42501 is what refuse_change raises: the owner has the right, and is refused all the same
      await expect(all.query(`DELETE FROM ${table}`)).rejects.toMatchObject({ code: REFUSED });
      await expect(all.query(`TRUNCATE ${table} CASCADE`)).rejects.toMatchObject({ code: REFUSED });
    }
  });

  it('the queue’s tables are the application’s, and lead to none of ours', async () => {
    const { rows } = await all.query<{ found: string }>(
      `SELECT conrelid::regclass || ' → ' || confrelid::regclass AS found FROM pg_constraint
       WHERE contype = 'f' AND connamespace = 'pgboss'::regnamespace
         AND confrelid IN (SELECT oid FROM pg_class WHERE relnamespace IN ('public'::regnamespace, 'keeping'::regnamespace))
       UNION ALL
       SELECT proname::text FROM pg_proc WHERE pronamespace = 'pgboss'::regnamespace AND prosecdef`,
    );
    expect(rows).toEqual([]);
  });
});

it('after all of this every row is what it was, and the archive still writes', async () => {
  const now = await everyRow(all);
  for (const table of await appendOnly()) {
    const name = `public.${table}`;
    expect([name, now.get(name)]).toEqual([name, atStart.get(name)]);
  }
  await archive.site('OTH');
  const after = (await everyRow(all)).get('public.entry')!;
  expect(after.length).toBeGreaterThan(atStart.get('public.entry')!.length);
  expect(after).toEqual(expect.arrayContaining(atStart.get('public.entry')!));
});
