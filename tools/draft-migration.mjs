// npm run db:draft -- 0002_name: writes prisma/migrations/<name>/migration.sql. A first migration is
// the whole schema followed by prisma/sql/*.sql; until the first release, run it again after each
// change of schema.prisma or prisma/sql. Later migrations are written by hand.
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import './source-hooks.mjs';

const prisma = fileURLToPath(new URL('../prisma', import.meta.url));
const name = process.argv[2] ?? '0001_foundation';

async function foundationSql(adminUrl) {
  const { draftSql } = await import('../libs/db/src/schema-engine.ts');
  const tables = await draftSql(adminUrl, join(prisma, 'schema.prisma'));
  const parts = readdirSync(join(prisma, 'sql')).filter((file) => file.endsWith('.sql'));
  const written = parts
    .sort()
    .map((file) => `-- ${file}\n${readFileSync(join(prisma, 'sql', file), 'utf8').trim()}\n`);
  return [tables.trim() + '\n', ...written].join('\n');
}

const { startEmbeddedPostgres } = await import('../libs/db/src/embedded-postgres.ts');
const { postgresAccount } = await import('../libs/db/src/postgres-account.ts');
const { placeForPostgres } = await import('../libs/db/src/postgres-place.ts');

const places = []; // outside the folder, when root's temporary folder is private
const folder = mkdtempSync(join(tmpdir(), 'mullion-draft-'));
const account = postgresAccount();
const server = await startEmbeddedPostgres({
  place: placeForPostgres(
    { path: folder, recordPostgresPlace: (elsewhere) => places.push(elsewhere) },
    account,
  ),
  passwordFile: join(folder, 'password'),
  account,
  throwAway: true,
});
try {
  const target = join(prisma, 'migrations', name);
  mkdirSync(target, { recursive: true });
  writeFileSync(join(target, 'migration.sql'), await foundationSql(server.url('postgres')));
  writeFileSync(join(prisma, 'migrations', 'migration_lock.toml'), 'provider = "postgresql"\n');
  console.log(`prisma/migrations/${name}/migration.sql written`);
} finally {
  await server.stop();
  for (const path of [folder, ...places]) rmSync(path, { recursive: true, force: true });
}
