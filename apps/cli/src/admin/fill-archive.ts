/** Rows, objects and open jobs of a backup into an empty database: for a new home, or a moved one. */
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
import { applyStandingSql, createPool, migrate, type PgPool, RowCopies } from '#libs/db';
import type { ObjectStore } from '#libs/objects';

export interface ArchiveSource {
  readonly place: BackupPlace;
  readonly manifest: Manifest;
  readonly part: OpenedPart;
  readonly isOlder: boolean;
  /** store that holds the objects */
  readonly objects: ObjectStore;
  readonly fingerprint?: string | undefined;
  readonly onProgress?: (progress: RestoreProgress) => void;
}

export interface EmptyArchive {
  /** the tables stand as the backup had them */
  readonly applicationUrl: string;
  readonly ownerUrl: string;
  readonly objects: ObjectStore;
}

/** @param then what else is written before the archive is opened */
export async function fillArchive(
  source: ArchiveSource,
  { applicationUrl, ownerUrl, objects }: EmptyArchive,
  then: (pool: PgPool) => Promise<void> = () => Promise.resolve(),
): Promise<RestoreReport> {
  const { fingerprint, onProgress } = source;
  const pool = createPool(applicationUrl, { max: 4 });
  try {
    const report = await restoreBackup(
      source,
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
    await then(pool);
    await queueOpenJobs(source.part, applicationUrl, new Tx(pool));
    return report;
  } finally {
    await pool.end();
  }
}

/** Jobs that were not done when the backup was made. */
async function queueOpenJobs(part: OpenedPart, applicationUrl: string, tx: Tx): Promise<void> {
  const boss = new PgBoss({
    connectionString: applicationUrl,
    max: 2,
    supervise: false,
    schedule: false,
  });
  // A connection that the ending database closes first: what was queued is committed by then.
  boss.on('error', (error: Error) => {
    console.error(`the job queue reports: ${error.message}`);
  });
  await boss.start();
  try {
    await ensureQueues(boss);
    const sender = bossSender(boss);
    for (const { name, id, data } of part.index.jobs) {
      await sender.send({ queue: name, jobId: id, data: data as Record<string, unknown> }, tx);
    }
  } finally {
    await boss.stop({ graceful: false });
  }
}
