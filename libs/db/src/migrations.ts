/**
 * Brings a database to the program's tables. Migrations are folders of prisma/migrations in the
 * order of their names; each is recorded with its SHA-256 as `prisma migrate` does.
 */
import { createHash, randomUUID } from 'node:crypto';
import { existsSync } from 'node:fs';
import { readdir, readFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import pg from 'pg';

export interface Migration {
  readonly name: string;
  readonly sql: string;
}

/** The advisory lock and the table of `prisma migrate`, so that its commands understand our databases. */
const PRISMA_LOCK = 72707369;
const PRISMA_TABLE = `
  create table if not exists _prisma_migrations (
    id varchar(36) primary key not null,
    checksum varchar(64) not null,
    finished_at timestamptz,
    migration_name varchar(255) not null,
    logs text,
    rolled_back_at timestamptz,
    started_at timestamptz not null default now(),
    applied_steps_count integer not null default 0
  )`;

interface AppliedMigration {
  name: string;
  checksum: string;
  finished: boolean;
}

/** prisma/ of this program: beside libs/ in the source, two levels higher when built into dist/. */
export function prismaFolder(): string {
  let folder = dirname(fileURLToPath(import.meta.url));
  for (;;) {
    const candidate = join(folder, 'prisma');
    if (existsSync(join(candidate, 'schema.prisma'))) return candidate;
    const parent = dirname(folder);
    if (parent === folder) throw new Error('prisma/schema.prisma is not above this program');
    folder = parent;
  }
}

export async function readMigrations(folder: string): Promise<Migration[]> {
  const entries = await readdir(join(folder, 'migrations'), { withFileTypes: true });
  const names = entries.filter((entry) => entry.isDirectory()).map((entry) => entry.name);
  return Promise.all(
    names.sort().map(async (name) => ({
      name,
      sql: await readFile(join(folder, 'migrations', name, 'migration.sql'), 'utf8'),
    })),
  );
}

export interface MigrateOptions {
  /** folder of schema, migrations and standing SQL; without it the program's */
  readonly folder?: string;
  /** Told before the first change of a database that holds something already; a throw stops it. */
  readonly before?: (missing: readonly string[]) => Promise<void>;
}

/**
 * Applies what is missing, all in one transaction, and returns its names.
 * @param ownerUrl connection string of the owner's role
 * @throws Error when an applied migration differs from the program's, or is not known to it
 */
export async function migrate(
  ownerUrl: string,
  { folder, before }: MigrateOptions = {},
): Promise<string[]> {
  const prisma = folder ?? prismaFolder();
  const migrations = await readMigrations(prisma);
  return locked(ownerUrl, async (client) => {
    const applied = await appliedMigrations(client);
    refuseForeign(applied, migrations);
    const missing = migrations.filter(({ name }) => !applied.some((row) => row.name === name));
    const names = missing.map(({ name }) => name);
    if (missing.length === 0) return names;
    if (applied.length > 0) await before?.(names);
    await apply(client, missing, await standingSql(prisma));
    return names;
  });
}

/**
 * The tables as they stood after just these migrations, for rows of that time. Triggers, rights and
 * search come with the next `migrate`, or with {@link applyStandingSql} where none is missing.
 * @throws Error when the program does not bring one of them
 */
export async function migrateExactly(ownerUrl: string, names: readonly string[]): Promise<void> {
  const known = await readMigrations(prismaFolder());
  const wanted = names.map((name) => {
    const found = known.find((migration) => migration.name === name);
    if (found !== undefined) return found;
    throw new Error(
      `The archive's database had the change "${name}", which this Mullion does not know: a newer version wrote it. Update the program.`,
    );
  });
  await locked(ownerUrl, (client) => apply(client, wanted, ''));
}

/** Triggers, rights and search once more; safe to repeat. */
export async function applyStandingSql(ownerUrl: string): Promise<void> {
  const standing = await standingSql(prismaFolder());
  await locked(ownerUrl, async (client) => {
    await client.query(standing);
  });
}

/** Two starts at once: the second waits and then finds nothing to do. */
async function locked<T>(ownerUrl: string, work: (client: pg.Client) => Promise<T>): Promise<T> {
  const client = new pg.Client({ connectionString: ownerUrl });
  await client.connect();
  try {
    await client.query('select pg_advisory_lock($1)', [PRISMA_LOCK]);
    return await work(client);
  } finally {
    await client.end();
  }
}

async function appliedMigrations(client: pg.Client): Promise<AppliedMigration[]> {
  const table = await client.query<{ found: string | null }>(
    `select to_regclass('_prisma_migrations')::text as found`,
  );
  if (table.rows[0]?.found == null) return [];
  const { rows } = await client.query<AppliedMigration>(
    `select migration_name as name, checksum, finished_at is not null as finished
     from _prisma_migrations where rolled_back_at is null order by started_at`,
  );
  return rows;
}

async function apply(
  client: pg.Client,
  migrations: readonly Migration[],
  standing: string,
): Promise<void> {
  await client.query('begin');
  try {
    await client.query(PRISMA_TABLE);
    for (const { name, sql } of migrations) {
      await client.query(sql);
      await client.query(
        `insert into _prisma_migrations (id, checksum, migration_name, started_at, finished_at, applied_steps_count)
         values ($1, $2, $3, clock_timestamp(), clock_timestamp(), 1)`,
        [randomUUID(), checksumOf(sql), name],
      );
    }
    await client.query(standing);
    await client.query('commit');
  } catch (error) {
    await client.query('rollback');
    throw error;
  }
}

/** prisma/sql in the order of its names: triggers, rights and search, all of it safe to run again. */
async function standingSql(prisma: string): Promise<string> {
  const folder = join(prisma, 'sql');
  const files = (await readdir(folder)).filter((file) => file.endsWith('.sql')).sort();
  return (await Promise.all(files.map((file) => readFile(join(folder, file), 'utf8')))).join('\n');
}

function checksumOf(sql: string): string {
  return createHash('sha256').update(sql).digest('hex');
}

function refuseForeign(applied: AppliedMigration[], known: readonly Migration[]): void {
  for (const { name, checksum, finished } of applied) {
    const own = known.find((migration) => migration.name === name);
    if (own === undefined) {
      throw new Error(
        `The archive's database has the change "${name}", which this Mullion does not know: a newer version wrote it. Update the program.`,
      );
    }
    if (!finished) {
      throw new Error(
        `The change "${name}" of the archive's database was not finished. Restore the newest backup.`,
      );
    }
    if (checksumOf(own.sql) !== checksum) {
      throw new Error(
        `The change "${name}" of the archive's database is not the one this Mullion brings. Nothing was changed; use the version that wrote it.`,
      );
    }
  }
}
