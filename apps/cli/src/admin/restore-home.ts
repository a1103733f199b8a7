/** A backup into a new home: folder, database, objects, keys; opened by nobody before it is whole. */
import {
  Archive,
  type Consideration,
  KeyFile,
  type Manifest,
  type RestoreReport,
  type SqlPool,
  Tx,
} from '#libs/archive';
import { beginHome, migrateExactly, startArchiveDatabase } from '#libs/db';
import { type ObjectStore, openObjectStore } from '#libs/objects';
import { type ArchiveSource, fillArchive } from './fill-archive.js';

export interface RestoredHome extends RestoreReport {
  /** what checkpoints that somebody kept came to */
  readonly considered: readonly Consideration[];
}

/**
 * @param checkpoints that somebody kept; those beyond the backup open new epochs
 * @throws BackupFault, HomeFault, Problem; the folder cannot be started then, and may be taken up again
 */
export async function restoreHome(
  source: ArchiveSource,
  homePath: string,
  checkpoints: readonly string[],
): Promise<RestoredHome> {
  const { manifest, part } = source;
  const home = beginHome(homePath, `backup ${manifest.generation} of ${manifest.archiveId}`);
  let isFinished = false;
  try {
    // the key first: no version of the program begins a new archive beside a key
    for (const { name, chunk } of part.index.files) home.writeFile(name, await part.chunk(chunk));
    const database = await startArchiveDatabase(home, {
      migrations: async (ownerUrl) => {
        await migrateExactly(ownerUrl, manifest.migrations);
        return [...manifest.migrations];
      },
    });
    let report: RestoreReport;
    let considered: Consideration[] = [];
    try {
      const objects = await openObjectStore(`file:${home.objectsPath}`);
      report = await fillArchive(source, { ...database, objects }, async (pool) => {
        await markRestored(new Tx(pool), manifest);
        considered = await consider(checkpoints, { pool, objects, keyFile: home.keyFile });
      });
    } finally {
      await database.stop();
    }
    home.finish({ demo: manifest.isDemo });
    isFinished = true;
    return { ...report, considered };
  } finally {
    if (!isFinished) home.release();
  }
}

/** How far each log came back: what stood beyond is lost, should anybody know of it. */
async function markRestored(tx: Tx, { generation, logs }: Manifest): Promise<void> {
  await tx.run(
    `INSERT INTO restore_mark (log_id, size, generation, restored_at)
     SELECT log_id, size, $3, now() FROM unnest($1::text[], $2::bigint[]) AS restored(log_id, size)`,
    [logs.map(({ logId }) => logId), logs.map(({ size }) => size), generation],
  );
}

async function consider(
  checkpoints: readonly string[],
  { pool, objects, keyFile }: { pool: SqlPool; objects: ObjectStore; keyFile: string },
): Promise<Consideration[]> {
  const archive = await Archive.open({
    pool,
    objects,
    signer: KeyFile.open(keyFile),
    jobs: { send: ({ queue }) => Promise.reject(new Error(`a restore queued a job for ${queue}`)) },
  });
  const considered: Consideration[] = [];
  for (const note of checkpoints) considered.push(await archive.consider(note, 'given'));
  await archive.close();
  return considered;
}
