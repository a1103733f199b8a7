import type {
  Archive,
  BackupPlan,
  MullionConfig,
  OutsideConfig,
  QueueName,
  SqlPool,
} from '#libs/archive';
import type { Imaging } from '#libs/imaging';
import type { ObjectStore } from '#libs/objects';
import type { ThreadProgram } from './read-rubbing.js';

/** What jobs need from the world. */
export interface WorkerPorts {
  readonly archive: Archive;
  readonly objects: ObjectStore;
  readonly imaging: Imaging;
  /** private folder for files on their way; emptied at start */
  readonly scratchFolder: string;
  readonly rubbingThread: ThreadProgram;
  readonly shardsThread: ThreadProgram;
  /** how fast objects are read again at leisure (0: never), and how often all of them */
  readonly scrubbing: MullionConfig['scrub'];
  /** who outside is asked to remember checkpoints */
  readonly outside: OutsideConfig;
  /** what a backup of the whole archive reads besides */
  readonly backups: {
    /** undefined: backups are made by hand */
    readonly plan: BackupPlan | undefined;
    readonly homePath: string;
    readonly keyFile: string;
    readonly databaseUrl: string;
    readonly objectsLocator: string;
    readonly isDemo: boolean;
    readonly pool: SqlPool;
  };
}

/** One run of one job. */
export interface JobRun {
  readonly jobId: string;
  /** aborted when the worker stops or the queue gives the job to another worker */
  readonly signal: AbortSignal;
  /**
   * Tells people how far it is.
   *
   * @param stage one of few words, shown as they are
   * @param ratio 0 to 1 of the whole job
   */
  progress(stage: string, ratio: number): void;
}

/**
 * A kind of job. `run` must be idempotent: a queue delivers at least once, and a worker may be killed
 * anywhere. What it resolves to is shown as the job's result. A `Problem` that it throws is final (no
 * retry can mend it) and shown to the person; anything else is tried again.
 */
export interface WorkerJob {
  readonly queue: QueueName;
  run(data: unknown, ports: WorkerPorts, run: JobRun): Promise<Record<string, unknown>>;
}
