// Jest's global set-up of the suites with a database: one embedded PostgreSQL for the whole run and
// a migrated template; each test file copies the template (createTestDatabase of libs/db).
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import '../../tools/source-hooks.mjs';

export default async function globalSetup() {
  const { startEmbeddedPostgres, socketUrl } = await import(
    '../../libs/db/src/embedded-postgres.ts'
  );
  const { postgresAccount } = await import('../../libs/db/src/postgres-account.ts');
  const { placeForPostgres } = await import('../../libs/db/src/postgres-place.ts');
  const { ensureDatabase, OWNER_ROLE } = await import('../../libs/db/src/roles.ts');
  const { migrate } = await import('../../libs/db/src/migrations.ts');

  const places = []; // outside the folder, when root's temporary folder is private
  const folder = mkdtempSync(join(tmpdir(), 'mullion-test-'));
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
  globalThis.__mullionTestServer = {
    async stop() {
      await server.stop();
      for (const path of [folder, ...places]) rmSync(path, { recursive: true, force: true });
    },
  };
  try {
    const template = 'mullion_template';
    const secrets = { owner: server.password, application: `${server.password}-app` };
    const adminUrl = server.url('postgres');
    await ensureDatabase(adminUrl, template, secrets);
    await migrate(socketUrl(server.socketFolder, OWNER_ROLE, secrets.owner, template));
    process.env.MULLION_TEST_SERVER = JSON.stringify({
      adminUrl,
      socketFolder: server.socketFolder,
      template,
      ...secrets,
    });
  } catch (error) {
    await globalThis.__mullionTestServer.stop();
    throw error;
  }
}
