/** The archive that an `admin` command works on: database, object store and key of one home. */
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import {
  type Archive,
  ArchiveKeys,
  copyBeforeChange,
  type JobSender,
  KeyFault,
  KeyFile,
  type MullionConfig,
  openArchive,
  readConfig,
} from '#libs/archive';
import {
  createPool,
  defaultHomePath,
  HomeFault,
  isDemoHome,
  type PgPool,
  RowCopies,
  reachArchiveDatabase,
} from '#libs/db';
import {
  lateArchiveStore,
  type ObjectStore,
  ObjectStoreError,
  openArchiveStore,
  storeReports,
} from '#libs/objects';
import { Refusal, UsageError } from '../refusal.js';

/** Options that every `admin` command takes. */
export const ARCHIVE_OPTIONS = { home: { type: 'string' }, demo: { type: 'boolean' } } as const;

export const ARCHIVE_HELP = `  --home DIR   folder of the archive; without it MULLION_HOME, or the user's data folder
  --demo       the demo's archive
`;

export interface ArchiveChoice {
  readonly home?: string | undefined;
  readonly demo?: boolean | undefined;
}

export interface ReachedArchive {
  readonly homePath: string;
  readonly config: MullionConfig;
  /** as the application's role */
  readonly pool: PgPool;
  /** Connection string of the owner's role; undefined for a database elsewhere whose owner was not named. */
  readonly ownerUrl: string | undefined;
  readonly objects: ObjectStore;
  /** Whether a server of Mullion is at work on the home while the command runs. */
  readonly isServing: boolean;
  /** The write path, for commands that leave an entry. They queue no jobs. */
  openArchive(): Promise<Archive>;
  /** The archive's key, its successor and its loss; a change that was cut short is settled first. */
  readonly openKeys: () => Promise<ArchiveKeys>;
  close(): Promise<void>;
}

export interface ReachOptions {
  /** opens a home although its key is lost */
  readonly mayLackKey?: boolean;
  /** opens although the store of objects is away; its calls fail then */
  readonly mayLackStore?: boolean;
}

/** Opens, runs and closes, whatever comes. A home that cannot be opened is told as one sentence. */
export async function withArchive<T>(
  choice: ArchiveChoice,
  use: (archive: ReachedArchive) => Promise<T>,
  options: ReachOptions = {},
): Promise<T> {
  let reached: ReachedArchive;
  try {
    reached = await reachArchive(choice, options);
  } catch (cause) {
    if (cause instanceof HomeFault || cause instanceof ObjectStoreError) {
      throw new Refusal(cause.message, undefined, { cause });
    }
    throw cause;
  }
  try {
    return await use(reached);
  } catch (cause) {
    if (cause instanceof KeyFault) throw new Refusal(cause.message, undefined, { cause });
    throw cause;
  } finally {
    await reached.close();
  }
}

async function reachArchive(
  { home, demo = false }: ArchiveChoice,
  options: ReachOptions,
): Promise<ReachedArchive> {
  const { env } = process;
  if (env['DATABASE_URL'] !== undefined) {
    if (home !== undefined || demo) {
      throw new UsageError('DATABASE_URL names the archive already: leave out --home and --demo.');
    }
    const config = readConfig(env);
    // a database of one's own has no home lock: a server is taken to be at work on it
    return opened(
      config,
      env['MULLION_OWNER_DATABASE_URL'],
      true,
      () => Promise.resolve(),
      options,
    );
  }
  const homePath = defaultHomePath(home === undefined ? env : { ...env, MULLION_HOME: home }, {
    demo: home === undefined && demo,
  });
  const database = await reachArchiveDatabase(homePath, {
    ...options,
    beforeMigrations: (applicationUrl, missing) =>
      copyBeforeMigrations(homePath, applicationUrl, missing),
  });
  const config = readConfig({
    ...env,
    DATABASE_URL: database.applicationUrl,
    MULLION_HOME: homePath,
  });
  return opened(config, database.ownerUrl, database.isServing, () => database.close(), options);
}

/** As `npm start` does: before the tables of an archive change, its database is copied beside it. */
async function copyBeforeMigrations(
  homePath: string,
  applicationUrl: string,
  missing: readonly string[],
): Promise<void> {
  const keyFile = join(homePath, 'archive-key.pem');
  if (!existsSync(keyFile)) return; // lost: nothing could sign the copy, and the command brings another
  await copyBeforeChange(
    {
      homePath,
      keyFile,
      isDemo: isDemoHome(homePath),
      moment: () => RowCopies.ofMoment(applicationUrl),
    },
    missing[0]!,
  );
}

async function opened(
  config: MullionConfig,
  ownerUrl: string | undefined,
  isServing: boolean,
  close: () => Promise<void>,
  { mayLackStore = false }: ReachOptions,
): Promise<ReachedArchive> {
  const pool = createPool(config.databaseUrl);
  let archive: Archive | undefined;
  const closeAll = async () => {
    await archive?.close();
    await pool.end();
    await close();
  };
  try {
    const objects = mayLackStore
      ? lateArchiveStore(config)
      : await openArchiveStore(config, storeReports(note));
    const { keyFile, home, retainCheckpointsMs } = config;
    const openKeys = async () => {
      const keys = new ArchiveKeys({ pool, objects, keyFile, home, retainCheckpointsMs });
      await keys.settle();
      return keys;
    };
    return {
      homePath: config.home,
      config,
      pool,
      ownerUrl,
      objects,
      isServing,
      openKeys,
      openArchive: async () => {
        await openKeys();
        const jobs: JobSender = {
          send: ({ queue }) =>
            Promise.reject(new Error(`an admin command queued a job for ${queue}`)),
        };
        const signer = KeyFile.open(keyFile);
        archive ??= await openArchive(
          config,
          { pool, objects, signer, jobs },
          (sentence, cause) => {
            note(cause instanceof Error ? `${sentence} ${cause.message}` : sentence);
          },
        );
        return archive;
      },
      close: closeAll,
    };
  } catch (error) {
    await closeAll();
    throw error;
  }
}

/** What comes up while a command works, beside its result. */
function note(line: string): void {
  process.stderr.write(`${line}\n`);
}
