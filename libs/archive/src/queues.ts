/**
 * Queues of the worker and how often a job is tried again. A worker that dies misses its heartbeat,
 * and its job is given out again; `expireInSeconds` bounds one that lives but never ends.
 */
const HEARTBEAT_SECONDS = 15;

/**
 * What people asked for outlasts a database, a store or a worker that is away for hours. What a job
 * itself breaks on is given up sooner, by the worker.
 */
const ASKED_FOR = {
  retryLimit: 30,
  retryDelay: 5,
  retryBackoff: true,
  retryDelayMax: 600,
} as const;

/** Where a job ends that no retry can mend. */
export const DEAD_LETTER_QUEUE = 'job.dead';

export const QUEUES = {
  'media.derive': {
    ...ASKED_FOR,
    expireInSeconds: 900,
    heartbeatSeconds: HEARTBEAT_SECONDS,
    deadLetter: DEAD_LETTER_QUEUE,
  },
  'rubbing.extract': {
    ...ASKED_FOR,
    expireInSeconds: 900,
    heartbeatSeconds: HEARTBEAT_SECONDS,
    deadLetter: DEAD_LETTER_QUEUE,
  },
  'shards.assemble': {
    ...ASKED_FOR,
    expireInSeconds: 1800,
    heartbeatSeconds: HEARTBEAT_SECONDS,
    deadLetter: DEAD_LETTER_QUEUE,
  },
  'media.destroy': {
    retryLimit: 50,
    retryDelay: 5,
    retryBackoff: true,
    expireInSeconds: 900,
    heartbeatSeconds: HEARTBEAT_SECONDS,
    deadLetter: DEAD_LETTER_QUEUE,
  },
  'names.clear': {
    retryLimit: 20,
    retryDelay: 5,
    retryBackoff: true,
    expireInSeconds: 300,
    heartbeatSeconds: HEARTBEAT_SECONDS,
    deadLetter: DEAD_LETTER_QUEUE,
  },
  'lens.calibrate': {
    ...ASKED_FOR,
    expireInSeconds: 300,
    heartbeatSeconds: HEARTBEAT_SECONDS,
    deadLetter: DEAD_LETTER_QUEUE,
  },
  'dossier.write': {
    ...ASKED_FOR,
    expireInSeconds: 3600,
    heartbeatSeconds: HEARTBEAT_SECONDS,
    deadLetter: DEAD_LETTER_QUEUE,
  },
  // Asked again every minute anyway, so one that fails is not tried again by itself.
  'witness.ask': {
    retryLimit: 0,
    expireInSeconds: 600,
    heartbeatSeconds: HEARTBEAT_SECONDS,
    deadLetter: DEAD_LETTER_QUEUE,
  },
  'time.ask': {
    retryLimit: 0,
    expireInSeconds: 600,
    heartbeatSeconds: HEARTBEAT_SECONDS,
    deadLetter: DEAD_LETTER_QUEUE,
  },
  // long for one that fills a new replica
  'objects.settle': {
    retryLimit: 0,
    expireInSeconds: 86_400,
    heartbeatSeconds: HEARTBEAT_SECONDS,
    deadLetter: DEAD_LETTER_QUEUE,
  },
  'objects.scrub': {
    retryLimit: 0,
    expireInSeconds: 600,
    heartbeatSeconds: HEARTBEAT_SECONDS,
    deadLetter: DEAD_LETTER_QUEUE,
  },
  'answers.forget': {
    retryLimit: 0,
    expireInSeconds: 3600,
    heartbeatSeconds: HEARTBEAT_SECONDS,
    deadLetter: DEAD_LETTER_QUEUE,
  },
  // Looked for again every ten minutes anyway.
  'backup.make': {
    retryLimit: 0,
    expireInSeconds: 12 * 3600,
    heartbeatSeconds: HEARTBEAT_SECONDS,
    deadLetter: DEAD_LETTER_QUEUE,
  },
} as const;

/** Queues that fill themselves: when, as cron says it (UTC). What is due is for the job to know. */
export const SCHEDULES: Readonly<Partial<Record<QueueName, string>>> = {
  'witness.ask': '* * * * *',
  'time.ask': '*/5 * * * *',
  'objects.settle': '* * * * *',
  'objects.scrub': '* * * * *',
  'answers.forget': '17 3 * * *',
  'backup.make': '*/10 * * * *',
};

export type QueueName = keyof typeof QUEUES;

interface QueueMaker {
  createQueue(name: string, options?: (typeof QUEUES)[QueueName]): Promise<void>;
  updateQueue(name: string, options: (typeof QUEUES)[QueueName]): Promise<void>;
}

/** Makes the queues, or brings them up to date; server and worker both call it at start. */
export async function ensureQueues(boss: QueueMaker): Promise<void> {
  await boss.createQueue(DEAD_LETTER_QUEUE);
  for (const [name, options] of Object.entries(QUEUES)) {
    await boss.createQueue(name, options);
    await boss.updateQueue(name, options);
  }
}
