import { mkdir, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { PgBoss } from 'pg-boss';
import {
  bossSender,
  DEAD_LETTER_QUEUE,
  ensureQueues,
  forgetTroubleElsewhere,
  KeyFile,
  type MullionConfig,
  nameOfPlace,
  openArchive,
  refillSearch,
  SCHEDULES,
} from '#libs/archive';
import { createPool } from '#libs/db';
import { Imaging } from '#libs/imaging';
import { openArchiveStore, storeReports } from '#libs/objects';
import { SHARDS_THREAD } from './assemble-shards.js';
import { tellGivenUp } from './given-up.js';
import { answersForget } from './jobs/answers-forget.job.js';
import { backupMake } from './jobs/backup-make.job.js';
import { dossierWrite } from './jobs/dossier-write.job.js';
import { lensCalibrate } from './jobs/lens-calibrate.job.js';
import { mediaDerive } from './jobs/media-derive.job.js';
import { mediaDestroy } from './jobs/media-destroy.job.js';
import { namesClear } from './jobs/names-clear.job.js';
import { objectsScrub } from './jobs/objects-scrub.job.js';
import { objectsSettle } from './jobs/objects-settle.job.js';
import { rubbingExtract } from './jobs/rubbing-extract.job.js';
import { shardsAssemble } from './jobs/shards-assemble.job.js';
import { timeAsk } from './jobs/time-ask.job.js';
import { witnessAsk } from './jobs/witness-ask.job.js';
import { RUBBING_THREAD, type ThreadProgram } from './read-rubbing.js';
import { runJob } from './run-job.js';
import { takeJobs } from './take-jobs.js';
import type { WorkerJob, WorkerPorts } from './worker-job.js';

const JOBS: readonly WorkerJob[] = [
  answersForget,
  backupMake,
  mediaDerive,
  rubbingExtract,
  shardsAssemble,
  lensCalibrate,
  dossierWrite,
  witnessAsk,
  timeAsk,
  namesClear,
  objectsSettle,
  objectsScrub,
  mediaDestroy,
];
/** How long a stopping worker waits for what is under way; the queue gives the rest out again. */
const STOP_MS = 5_000;
/** Jobs of a worker that died are given out again after the queue's heartbeat and this. */
const SUPERVISE_SECONDS = 5;

export interface RunningWorker {
  close(): Promise<void>;
}

/** Opens the adapters and takes jobs until closed. */
export async function startWorker(
  config: MullionConfig,
  {
    rubbingThread = RUBBING_THREAD,
    shardsThread = SHARDS_THREAD,
  }: { rubbingThread?: ThreadProgram; shardsThread?: ThreadProgram } = {},
): Promise<RunningWorker> {
  const scratchFolder = join(config.home, 'scratch', 'worker');
  // one worker a home: what lies here was left by one that was killed
  await rm(scratchFolder, { recursive: true, force: true });
  await mkdir(scratchFolder, { recursive: true, mode: 0o700 });

  const pool = createPool(config.databaseUrl, { max: 6 });
  const objects = await openArchiveStore(config, storeReports(console.error));
  const imaging = new Imaging({
    scratchFolder,
    concurrency: 1,
    limits: {
      maxBytes: config.maxUploadBytes,
      maxPixels: config.maxPixels,
      maxFrames: config.maxFrames,
      maxMs: 600_000,
    },
  });
  const boss = new PgBoss({
    connectionString: config.databaseUrl,
    max: 4,
    superviseIntervalSeconds: SUPERVISE_SECONDS,
    monitorIntervalSeconds: SUPERVISE_SECONDS,
  });
  boss.on('error', (error: Error) => {
    console.error(`the job queue reports: ${error.message}`);
  });
  await boss.start();
  await ensureQueues(boss);
  const signer = KeyFile.open(config.keyFile);
  const jobs = bossSender(boss);
  const archive = await openArchive(config, { pool, objects, signer, jobs }, console.error);

  const stopping = new AbortController();
  const ports: WorkerPorts = {
    archive,
    objects,
    imaging,
    scratchFolder,
    rubbingThread,
    shardsThread,
    outside: config.outside,
    scrubbing: config.scrub,
    backups: {
      plan: config.backups,
      homePath: config.home,
      keyFile: config.keyFile,
      databaseUrl: config.databaseUrl,
      objectsLocator: config.objects,
      isDemo: config.isDemo,
      pool,
    },
  };
  const deadLetter = {
    add: async (letter: object) => {
      await boss.send(DEAD_LETTER_QUEUE, letter);
    },
  };
  for (const job of JOBS) {
    await takeJobs(boss, job.queue, (delivery) =>
      runJob(job, delivery, ports, deadLetter, stopping.signal),
    );
  }
  await boss.work(DEAD_LETTER_QUEUE, { batchSize: 1 }, async ([letter]) =>
    tellGivenUp(letter!.data, ports),
  );
  await keepSchedules(boss, config);
  const refilled = refillSearch(pool, stopping.signal).catch((error: unknown) => {
    console.error('search rows of an earlier version are not filled yet:', error);
  });
  const { backups } = config;
  await forgetTroubleElsewhere(archive.reads, backups && nameOfPlace(backups.to));
  return {
    async close() {
      stopping.abort();
      await refilled;
      await boss.stop({ graceful: true, timeout: STOP_MS });
      await archive.close();
      imaging.close();
      await pool.end();
    },
  };
}

/** Nobody to ask: the queue is left to those who ask by hand. */
async function keepSchedules(boss: PgBoss, config: MullionConfig): Promise<void> {
  const { outside, backups } = config;
  const isWanted: Partial<Record<keyof typeof SCHEDULES, boolean>> = {
    'objects.settle': config.objectsReplica !== undefined,
    'objects.scrub': config.scrub.mbPerS > 0,
    'witness.ask': outside.witnesses.length > 0,
    'time.ask': outside.timeAuthority !== undefined,
    'backup.make': backups !== undefined,
  };
  for (const [queue, cron] of Object.entries<string>(SCHEDULES)) {
    if (isWanted[queue as keyof typeof SCHEDULES] === false) await boss.unschedule(queue);
    else await boss.schedule(queue, cron);
  }
}
