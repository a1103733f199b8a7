/**
 * npm run freeze:home
 *
 * Keeps a small home as this version of the program leaves it, for all versions to come. Run before a
 * release and before a change of the tables; what is there already is never written again.
 */
import {
  chmodSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import {
  ArchiveKeys,
  KeyFile,
  openArchive,
  PROGRAM_VERSION,
  STUDIO_LOG,
  signerFromPem,
} from '#libs/archive';
import { postgresPlaceOf, postgresVersions } from '#libs/db';
import { openObjectStore } from '#libs/objects';
import { useEveryCommand } from './every-command.js';
import { FROZEN_HOMES, type KeptOfHome, packFolder } from './frozen-home.js';
import { type HomeArchive, serveHome } from './home-archive.js';
import { firstKeeper } from './media-archive.js';
import { projectionDump } from './projection-dump.js';
import { mullion } from './run-command.js';

const PASSPHRASE = 'a passphrase that everybody may read';
const FILE_LIMIT_BYTES = 3_000_000;

const scratch = mkdtempSync(join(tmpdir(), 'freeze-home-'));
// an account that the database runs as for root must come through, or the data would lie elsewhere
chmodSync(scratch, 0o755);
try {
  const home = join(scratch, 'home');
  const archive = await serveHome(home);
  let kept: KeptOfHome;
  let folder: string;
  try {
    folder = await emptyFolder(archive);
    const words = await fill(archive);
    await backUp(home, join(scratch, 'backup'));
    kept = await whatItShows(archive, home, words);
  } finally {
    await archive.close();
  }
  const files = {
    'home.tar.zst': packFolder(home),
    'backup.tar.zst': packFolder(join(scratch, 'backup')),
  };
  for (const [name, { length }] of Object.entries(files)) {
    if (length > FILE_LIMIT_BYTES) throw new Error(`${name}: ${length} bytes are too many`);
  }
  mkdirSync(folder, { recursive: true });
  for (const [name, bytes] of Object.entries(files)) writeFileSync(join(folder, name), bytes);
  writeFileSync(join(folder, 'kept.json'), `${JSON.stringify(kept)}\n`);
  for (const [name, { length }] of Object.entries(files)) console.log(`${name}: ${length} bytes`);
} finally {
  rmSync(scratch, { recursive: true, force: true });
}

async function emptyFolder({ pool }: HomeArchive): Promise<string> {
  const { rows } = await pool.query<{ name: string }>(
    'SELECT migration_name AS name FROM _prisma_migrations ORDER BY migration_name DESC LIMIT 1',
  );
  const folder = join(FROZEN_HOMES, `${PROGRAM_VERSION}-${rows[0]!.name.split('_')[0]!}`);
  if (existsSync(folder)) throw new Error(`${folder} is there already and stays as it is`);
  return folder;
}

/** Every kind of entry, in the studio's log and a site's. */
async function fill({ url, pool, config }: HomeArchive): Promise<string[]> {
  const keeper = await firstKeeper(url);
  const { body } = await keeper.json<{ me: { personId: string } }>('GET', '/v1/state');
  const objects = await openObjectStore(config.objects);
  const archive = await openArchive(
    config,
    {
      pool,
      objects,
      signer: KeyFile.open(config.keyFile),
      jobs: { send: () => Promise.resolve() },
    },
    console.error,
  );
  await useEveryCommand(archive, body.me.personId);
  await archive.close();
  const keys = new ArchiveKeys({ pool, objects, keyFile: config.keyFile, home: config.home });
  return [...(await keys.sheetToPrint())!.words];
}

async function backUp(home: string, place: string): Promise<void> {
  const made = await mullion(['admin', 'backup', place, '--home', home], {
    env: { MULLION_BACKUP_PASSPHRASE: PASSPHRASE },
  });
  if (made.status !== 0) throw new Error(made.err);
}

async function whatItShows(
  { pool, config }: HomeArchive,
  home: string,
  words: string[],
): Promise<KeptOfHome> {
  const { rows: checkpoints } = await pool.query<{ logId: string; note: string }>(
    `SELECT DISTINCT ON (log_id) log_id AS "logId", note FROM checkpoint ORDER BY log_id, size DESC`,
  );
  if (!checkpoints.some(({ logId }) => logId === STUDIO_LOG) || checkpoints.length < 2) {
    throw new Error('the home lacks a log');
  }
  return {
    program: PROGRAM_VERSION,
    postgres: {
      major: postgresVersions(home, postgresPlaceOf(home)).data,
      platform: `${process.platform}-${process.arch}`,
    },
    fingerprint: signerFromPem(readFileSync(config.keyFile)).fingerprint,
    opens: {
      login: 'head',
      password: 'a long pass phrase for a test',
      passphrase: PASSPHRASE,
      words,
    },
    checkpoints,
    rows: JSON.parse(JSON.stringify(await projectionDump(pool))) as KeptOfHome['rows'],
  };
}
