/** A backup into a new home: folder, database, objects, keys; opened by nobody before it is whole. */
import { PgBoss } from 'pg-boss';
import {
  type BackupPlace,
  bossSender,
  ensureQueues,
  type Manifest,
  type OpenedPart,
  type RestoreProgress,
  type RestoreReport,
  restoreBackup,
  Tx,
} from '#libs/archive';
import {
  applyStandingSql,
  beginHome,
  createPool,
  migrate,
  migrateExactly,
  RowCopies,
  startArchiveDatabase,
} from '#libs/db';
import { type ObjectStore, openObjectStore } from '#libs/objects';

export interface HomeToRestore {
  readonly place: BackupPlace;
  readonly manifest: Manifest;
  readonly part: OpenedPart;
  readonly isOlder: boolean;
  readonly homePath: string;
  readonly fingerprint?: string | undefined;
  readonly onProgress?: (progress: RestoreProgress) => void;
}

/** @throws BackupFault, HomeFault; the folder cannot be started then, and may be taken up again */
export async function restoreHome(wanted: HomeToRestore): Promise<RestoreReport> {
  const { manifest, part } = wanted;
  const home = beginHome(wanted.homePath, `backup ${manifest.generation} of ${manifest.archiveId}`);
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
    try {
      const objects = await openObjectStore(`file:${home.objectsPath}`);
      const report = await fill(wanted, database, objects);
      await queueOpenJobs(part, database.applicationUrl);
      await database.stop();
      home.finish({ demo: manifest.isDemo });
      isFinished = true;
      return report;
    } finally {
      if (!isFinished) await database.stop();
    }
  } finally {
    if (!isFinished) home.release();
  }
}

async function fill(
  { place, manifest, part, isOlder, fingerprint, onProgress }: HomeToRestore,
  { applicationUrl, ownerUrl }: { applicationUrl: string; ownerUrl: string },
  objects: ObjectStore,
): Promise<RestoreReport> {
  const pool = createPool(applicationUrl, { max: 4 });
  try {
    const report = await restoreBackup(
      { place, manifest, part, isOlder, objects: place.store },
      {
        objects,
        pool,
        write: () => RowCopies.intoTransaction(ownerUrl),
        moment: () => RowCopies.ofMoment(applicationUrl),
        bringUpToDate: async () => {
          await migrate(ownerUrl);
          await applyStandingSql(ownerUrl);
        },
      },
      { fingerprint, ...(onProgress === undefined ? {} : { onProgress }) },
    );
    await markRestored(new Tx(pool), manifest);
    return report;
  } finally {
    await pool.end();
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

/** Jobs that were not done when the backup was made. */
async function queueOpenJobs(part: OpenedPart, applicationUrl: string): Promise<void> {
  const boss = new PgBoss({
    connectionString: applicationUrl,
    max: 2,
    supervise: false,
    schedule: false,
  });
  await boss.start();
  const pool = createPool(applicationUrl, { max: 1 });
  try {
    await ensureQueues(boss);
    const sender = bossSender(boss);
    for (const { name, id, data } of part.index.jobs) {
      await sender.send(
        { queue: name, jobId: id, data: data as Record<string, unknown> },
        new Tx(pool),
      );
    }
  } finally {
    await pool.end();
    await boss.stop({ graceful: false });
  }
}
