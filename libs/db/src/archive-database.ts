/** The database of a home, ready for the application: server running, roles made, tables current. */
import { join } from 'node:path';
import { type EmbeddedPostgres, socketUrl, startEmbeddedPostgres } from './embedded-postgres.js';
import type { Home } from './home.js';
import { migrate } from './migrations.js';
import { postgresAccount } from './postgres-account.js';
import { placeForPostgres } from './postgres-place.js';
import { APPLICATION_ROLE, ensureDatabase, keptRoleSecrets, OWNER_ROLE } from './roles.js';

const DATABASE = 'mullion';

export interface ArchiveDatabase {
  /** Connection string of the application's role. */
  readonly applicationUrl: string;
  /** Connection string of the owner's role: migrations and rebuilds only. */
  readonly ownerUrl: string;
  /** Migrations applied at this start. */
  readonly applied: readonly string[];
  /** Resolves with a sentence when the server ends without being asked. */
  readonly ended: Promise<string>;
  stop(): Promise<void>;
}

/** @throws HomeFault, or Error of a migration; the server is stopped then */
export async function startArchiveDatabase(home: Home): Promise<ArchiveDatabase> {
  const account = postgresAccount();
  const server = await startEmbeddedPostgres({
    place: placeForPostgres(home, account),
    passwordFile: join(home.path, 'postgres-password'),
    account,
  });
  try {
    return await prepared(home, server);
  } catch (error) {
    await server.stop();
    throw error;
  }
}

async function prepared(home: Home, server: EmbeddedPostgres): Promise<ArchiveDatabase> {
  const secrets = keptRoleSecrets((name) => join(home.path, `postgres-${name}-password`));
  await ensureDatabase(server.url('postgres'), DATABASE, secrets);
  const { socketFolder } = server;
  const ownerUrl = socketUrl(socketFolder, OWNER_ROLE, secrets.owner, DATABASE);
  return {
    applicationUrl: socketUrl(socketFolder, APPLICATION_ROLE, secrets.application, DATABASE),
    ownerUrl,
    applied: await migrate(ownerUrl),
    ended: server.ended,
    stop: () => server.stop(),
  };
}
