/**
 * A copy of the database before its tables change, beside it in the home: rows and keys; the objects
 * are not touched by a change of tables. `mullion admin restore` takes it as it takes any backup.
 */
import { existsSync } from 'node:fs';
import { mkdir, readdir, readFile, rm, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { isDiskFull, openObjectStore } from '#libs/objects';
import { PROGRAM_VERSION } from '../program-version.js';
import { signerFromPem } from '../signer.js';
import { BackupPlace } from './backup-place.js';
import type { RowReader } from './backup-tables.js';
import { makeBackup } from './make-backup.js';
import { BackupFault } from './manifest.js';
import { privateFiles } from './private-files.js';

/** Copies that stay in a home. */
const COPIES_KEPT = 3;
const COPY_FOLDER = /^before-[\w-]+$/;

export interface HomeBeforeChange {
  readonly homePath: string;
  readonly keyFile: string;
  readonly isDemo: boolean;
  /** RowCopies.ofMoment of the application's role */
  readonly moment: () => Promise<RowReader & { close(): Promise<void> }>;
}

/**
 * @param change what follows, for instance the name of the first migration
 * @returns the folder of the copy; undefined for an archive that holds nothing yet
 * @throws BackupFault when it cannot be made: then nothing may be changed
 */
export async function copyBeforeChange(
  { homePath, keyFile, isDemo, moment: openMoment }: HomeBeforeChange,
  change: string,
): Promise<string | undefined> {
  const moment = await openMoment();
  try {
    if ((await moment.query('SELECT 1 FROM entry LIMIT 1')).length === 0) return undefined;
    const folder = join(homePath, `before-${change.replace(/[^\w-]/g, '-')}`);
    const isFirst = !existsSync(folder);
    try {
      await writeCopy(folder, moment, { homePath, keyFile, isDemo });
    } catch (error) {
      // half a copy would be taken for one; an earlier one in the same folder stays
      if (isFirst) await rm(folder, { recursive: true, force: true });
      throw cannotCopy(folder, error);
    }
    await dropOldCopies(homePath);
    return folder;
  } finally {
    await moment.close();
  }
}

async function writeCopy(
  folder: string,
  rows: RowReader,
  { homePath, keyFile, isDemo }: Omit<HomeBeforeChange, 'moment'>,
): Promise<void> {
  await mkdir(folder, { recursive: true, mode: 0o700 });
  await makeBackup(
    {
      rows,
      reads: rows,
      objects: await openObjectStore(`file:${join(homePath, 'objects')}`),
      signer: signerFromPem(await readFile(keyFile)),
      files: await privateFiles(homePath, keyFile),
      isDemo,
      program: PROGRAM_VERSION,
    },
    new BackupPlace(await openObjectStore(`file:${folder}`)),
    { recipients: [], scope: 'database' },
  );
}

function cannotCopy(folder: string, cause: unknown): BackupFault {
  const why = isDiskFull(cause)
    ? 'there is no room left on that disk. Make room'
    : `${(cause as Error).message.replace(/\.$/, '')}. Mend that`;
  return new BackupFault(
    `The tables were not changed, because the database could not be copied to ${folder} before: ${why} and start again.`,
    { cause },
  );
}

async function dropOldCopies(homePath: string): Promise<void> {
  const copies: { path: string; madeMs: number }[] = [];
  for (const name of await readdir(homePath)) {
    if (!COPY_FOLDER.test(name)) continue;
    const path = join(homePath, name);
    copies.push({ path, madeMs: (await stat(join(path, 'named'))).mtimeMs });
  }
  copies.sort((a, b) => b.madeMs - a.madeMs);
  for (const { path } of copies.slice(COPIES_KEPT))
    await rm(path, { recursive: true, force: true });
}
