/**
 * From one major version of PostgreSQL to the program's: the old server gives its rows, a new one
 * beside it takes them, and only then the folders change places. The old one stays as `data.<major>`.
 */
import { existsSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { roleUrls, secretsOf } from './archive-database.js';
import { startEmbeddedPostgres } from './embedded-postgres.js';
import type { Home } from './home.js';
import { HomeFault } from './home-fault.js';
import { postgresAccount } from './postgres-account.js';
import { madeFolder, placeForPostgres } from './postgres-place.js';
import { findPostgresProgram, type PostgresProgram, programIn } from './postgres-program.js';
import { DATABASE, ensureDatabase } from './roles.js';

interface RoleUrls {
  readonly applicationUrl: string;
  readonly ownerUrl: string;
}

export interface MoveSteps {
  /** Reads everything out of the old database. */
  readonly read: (old: RoleUrls) => Promise<void>;
  /** Writes it into the new one, which is empty; a throw leaves the old one as it was. */
  readonly write: (fresh: RoleUrls) => Promise<void>;
}

/** Major versions of a home's database and of the program. */
export function postgresVersions(
  homePath: string,
  place: string,
): { data: number; program: number } {
  const finished = join(place, 'moving', 'finished');
  const folder = existsSync(join(place, 'data'))
    ? 'data'
    : existsSync(finished)
      ? 'moving/data'
      : '';
  const file = join(place, folder, 'PG_VERSION');
  if (folder === '' || !existsSync(file)) {
    throw new HomeFault('home-unreadable', `There is no database in ${homePath}.`);
  }
  return {
    data: Number(readFileSync(file, 'utf8').trim()),
    program: findPostgresProgram().major,
  };
}

/**
 * @param oldProgramPath folder with bin/, lib/ and share/ of the major version that wrote the data
 * @returns folder in which the old data stay
 */
export async function moveUp(
  home: Home,
  oldProgramPath: string,
  { read, write }: MoveSteps,
): Promise<string> {
  const account = postgresAccount();
  const place = placeForPostgres(home, account);
  const data = join(place, 'data');
  const moving = join(place, 'moving');
  const { data: major } = postgresVersions(home.path, place);
  const aside = join(place, `data.${major}`);
  if (!existsSync(data)) return finishMove(place, aside);

  const passwordFile = join(home.path, 'postgres-password');
  const old = programIn(oldProgramPath, major);
  await withServer({ place, passwordFile, account, program: old }, home.path, read);

  rmSync(moving, { recursive: true, force: true });
  madeFolder(moving, account);
  await withServer({ place: moving, passwordFile, account }, home.path, write);
  writeFileSync(join(moving, 'finished'), '');
  renameSync(data, aside);
  return finishMove(place, aside);
}

/** The second half of the exchange; also where the first was followed by a power cut. */
function finishMove(place: string, aside: string): string {
  const moving = join(place, 'moving');
  renameSync(join(moving, 'data'), join(place, 'data'));
  rmSync(moving, { recursive: true, force: true });
  return aside;
}

async function withServer(
  options: Parameters<typeof startEmbeddedPostgres>[0] & { program?: PostgresProgram },
  homePath: string,
  use: (urls: RoleUrls) => Promise<void>,
): Promise<void> {
  const server = await startEmbeddedPostgres(options);
  try {
    const secrets = secretsOf(homePath);
    await ensureDatabase(server.url('postgres'), DATABASE, secrets);
    await use(roleUrls(homePath, server.socketFolder));
  } finally {
    await server.stop();
  }
}
