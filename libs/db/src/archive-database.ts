/** The database of a home, ready for the application: server running, roles made, tables current. */
import { join } from 'node:path';
import { type EmbeddedPostgres, socketUrl, startEmbeddedPostgres } from './embedded-postgres.js';
import type { Home } from './home.js';
import { type MigrateOptions, migrate } from './migrations.js';
import { postgresAccount } from './postgres-account.js';
import { placeForPostgres } from './postgres-place.js';
import {
  APPLICATION_ROLE,
  DATABASE,
  ensureDatabase,
  keptRoleSecrets,
  OWNER_ROLE,
  type RoleSecrets,
} from './roles.js';

export interface ArchiveDatabase {
  /** Connection string of the application's role. */
  readonly applicationUrl: string;
  /** Connection string of the owner's role: migrations and rebuilds only. */
  readonly ownerUrl: string;
  /** Migrations applied at this start. */
  readonly applied: readonly string[];
  /** Resolves with a sentence when the server ends without being asked. */
  readonly ended: Promise<string>;
  readonly stop: () => Promise<void>;
}

export interface ArchiveDatabaseOptions {
  /** Told before the tables of an archive are changed, with the application's way in; a throw stops it. */
  readonly beforeMigrations?: (applicationUrl: string, missing: readonly string[]) => Promise<void>;
  /** Brings the tables to where they shall stand; without it to those of the program. */
  readonly migrations?: (ownerUrl: string) => Promise<string[]>;
}

/** @throws HomeFault, or Error of a migration; the server is stopped then */
export async function startArchiveDatabase(
  home: Pick<Home, 'path' | 'postgresPlace' | 'recordPostgresPlace'>,
  options: ArchiveDatabaseOptions = {},
): Promise<ArchiveDatabase> {
  const account = postgresAccount();
  const server = await startEmbeddedPostgres({
    place: placeForPostgres(home, account),
    passwordFile: join(home.path, 'postgres-password'),
    account,
  });
  try {
    return await prepared(home.path, server, options);
  } catch (error) {
    await server.stop();
    throw error;
  }
}

async function prepared(
  homePath: string,
  server: EmbeddedPostgres,
  { beforeMigrations, migrations }: ArchiveDatabaseOptions,
): Promise<ArchiveDatabase> {
  await ensureDatabase(server.url('postgres'), DATABASE, secretsOf(homePath));
  const { applicationUrl, ownerUrl } = roleUrls(homePath, server.socketFolder);
  const options: MigrateOptions =
    beforeMigrations === undefined
      ? {}
      : { before: (missing) => beforeMigrations(applicationUrl, missing) };
  return {
    applicationUrl,
    ownerUrl,
    applied: await (migrations ?? ((url) => migrate(url, options)))(ownerUrl),
    ended: server.ended,
    stop: () => server.stop(),
  };
}

/** How the roles of a home's database reach it. */
export function roleUrls(
  homePath: string,
  socketFolder: string,
): Pick<ArchiveDatabase, 'applicationUrl' | 'ownerUrl'> {
  const secrets = secretsOf(homePath);
  return {
    applicationUrl: socketUrl(socketFolder, APPLICATION_ROLE, secrets.application, DATABASE),
    ownerUrl: socketUrl(socketFolder, OWNER_ROLE, secrets.owner, DATABASE),
  };
}

export function secretsOf(homePath: string): RoleSecrets {
  return keptRoleSecrets((name) => join(homePath, `postgres-${name}-password`));
}
