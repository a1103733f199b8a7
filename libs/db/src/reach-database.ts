/**
 * The database of a home for a command beside the server: the running one where Mullion runs on the
 * home, else started for the length of the command.
 */
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { type ArchiveDatabaseOptions, roleUrls, startArchiveDatabase } from './archive-database.js';
import { postmasterLines } from './embedded-postgres.js';
import { type Home, openHome, postgresPlaceOf } from './home.js';
import { HomeFault } from './home-fault.js';
import { isHomeInUse } from './home-lock.js';

export interface ReachedDatabase {
  /** Connection string of the application's role. */
  readonly applicationUrl: string;
  /** Connection string of the owner's role: migrations, rebuilds and copies only. */
  readonly ownerUrl: string;
  /** Whether a server of Mullion is at work on this home. */
  readonly isServing: boolean;
  /** The home, locked by this process; undefined where the server holds it. */
  readonly home: Home | undefined;
  /** Stops what was started for the command and lets the home go. */
  close(): Promise<void>;
}

export interface ReachDatabaseOptions extends ArchiveDatabaseOptions {
  /** for commands that bring another key in force */
  readonly mayLackKey?: boolean;
}

/**
 * @throws HomeFault when there is no archive in the folder, or it cannot be opened
 */
export async function reachArchiveDatabase(
  homePath: string,
  { mayLackKey = false, ...options }: ReachDatabaseOptions = {},
): Promise<ReachedDatabase> {
  if (!existsSync(join(homePath, 'home.json'))) {
    throw new HomeFault(
      'home-unreadable',
      `There is no archive in ${homePath}. Name the folder with MULLION_HOME, or --demo for the demo's.`,
    );
  }
  if (!isHomeInUse(homePath)) return started(homePath, mayLackKey, options);
  const { applicationUrl, ownerUrl } = roleUrls(homePath, runningSocketFolder(homePath));
  return {
    applicationUrl,
    ownerUrl,
    isServing: true,
    home: undefined,
    close: () => Promise.resolve(),
  };
}

async function started(
  homePath: string,
  mayLackKey: boolean,
  options: ArchiveDatabaseOptions,
): Promise<ReachedDatabase> {
  const home = openHome(homePath, { mayLackKey });
  try {
    const database = await startArchiveDatabase(home, options);
    const { applicationUrl, ownerUrl } = database;
    return {
      applicationUrl,
      ownerUrl,
      isServing: false,
      home,
      close: async () => {
        await database.stop();
        home.release();
      },
    };
  } catch (error) {
    home.release();
    throw error;
  }
}

/** The fifth line of postmaster.pid is the first socket folder (storage.sgml, "postmaster.pid"). */
function runningSocketFolder(homePath: string): string {
  const lines = postmasterLines(join(postgresPlaceOf(homePath), 'data'));
  const folder = lines[4]?.trim();
  if (folder !== undefined && folder !== '' && lines[7]?.trim() === 'ready') return folder;
  throw new HomeFault(
    'postgres-failed',
    `Mullion holds ${homePath} but its database is not up. Wait a moment and try again; if it stays so, stop Mullion first.`,
  );
}
