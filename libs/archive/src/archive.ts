/**
 * The write path: every change is a command, every command one entry of a log and its projections,
 * in one transaction. Nothing is answered before COMMIT.
 */
import { originLine, parseOrigin } from '#libs/ledger';
import type { ObjectStore } from '#libs/objects';
import {
  type AnyCommand,
  type Asking,
  BatchWriter,
  type Outcome,
  type Waiting,
} from './batch-writer.js';
import { CheckpointCopies } from './checkpoint-copies.js';
import type { Command } from './command.js';
import { tellOfNewerCopies } from './epochs/newer-in-store.js';
import { type Consideration, considerCheckpoint } from './epochs/open-epoch.js';
import { GroupCommit } from './group-commit.js';
import { GroupedReads, NotedReads } from './grouped-reads.js';
import { uuidV7 } from './id.js';
import { keptAnswer, supposeNew } from './idempotency.js';
import type { JobSender } from './job-sender.js';
import { keysInForce, signingKeyOf } from './keys/announcement.js';
import { OPEN_LOG, openLog, STUDIO_LOG } from './log-head.js';
import { parsed } from './parse-body.js';
import { OutdatedReads, RecentAnswers } from './recent-answers.js';
import { requestDigest } from './request-digest.js';
import { allowed, grantsFor } from './role.js';
import { type ArchiveSigner, type KeyRing, ringOf, signerFor } from './signer.js';
import type { SqlPool, Tx } from './tx.js';

export type { Asking, Outcome } from './batch-writer.js';

export interface ArchivePorts {
  readonly pool: SqlPool;
  readonly objects: ObjectStore;
  /** the archive's key, or a place where keys are kept: the one that a log is in the hands of signs it */
  readonly signer: ArchiveSigner | KeyRing;
  readonly jobs: JobSender;
  readonly clock?: () => number;
  /** how long a checkpoint's copy in the object store is retained; undefined: as long as it is let be */
  readonly retainCheckpointsMs?: number | undefined;
  /** told when a checkpoint could not be copied to the object store (it stands in the database) */
  readonly onCopyFailed?: (error: unknown) => void;
  /** told when the database was behind its own checkpoints and a new epoch was opened */
  readonly onSetBack?: (sentence: string) => void;
}

export class Archive {
  readonly #ports: ArchivePorts;
  readonly #commits: GroupCommit<Waiting, Outcome<object>>;
  readonly #reads: GroupedReads;
  readonly #copies: CheckpointCopies;
  readonly #keys: KeyRing;
  readonly #clock: () => number;
  readonly #recent = new RecentAnswers();
  #studioOrigin = '';

  private constructor(ports: ArchivePorts) {
    this.#ports = ports;
    this.#reads = new GroupedReads(ports.pool);
    this.#keys = 'signerOf' in ports.signer ? ports.signer : ringOf(ports.signer);
    this.#clock = ports.clock ?? Date.now;
    this.#copies = new CheckpointCopies({ ...ports, clock: this.#clock });
    const writer = new BatchWriter({
      ...ports,
      keys: this.#keys,
      clock: this.#clock,
      recent: this.#recent,
      archiveId: () => this.archiveId,
      committed: (heads) => {
        this.#copies.add(heads);
      },
    });
    this.#commits = new GroupCommit((logId, batch) => writer.write(logId, batch));
  }

  /** Opens the archive; the studio's log is begun the first time, under a new archive id. */
  static async open(ports: ArchivePorts): Promise<Archive> {
    const archive = new Archive(ports);
    await archive.#openStudio();
    await archive.#tellOfLosses();
    return archive;
  }

  get objects(): ObjectStore {
    return this.#ports.objects;
  }

  get retainCheckpointsMs(): number | undefined {
    return this.#ports.retainCheckpointsMs;
  }

  /** The key that this process signs with, as far as it knows: `signerInForce` asks the database. */
  get signer(): ArchiveSigner {
    return this.#keys.current;
  }

  /**
   * The key in force, which another process may have changed.
   * @throws {Problem} `key-not-in-force` when this process does not hold it
   */
  async signerInForce(): Promise<ArchiveSigner> {
    return signerFor(this.#keys, { signingKey: await signingKeyOf(this.#reads) });
  }

  /** The public half of the key in force, whoever holds it. */
  async keyInForce(): Promise<{ publicKey: Uint8Array; fingerprint: string }> {
    const signingKey = await signingKeyOf(this.#reads);
    if (signingKey === null) return this.#keys.current;
    const held = this.#keys.signerOf(signingKey);
    return held ?? (await keysInForce(this.#reads)).current ?? this.#keys.current;
  }

  /** Origin line of the studio's log, e.g. `mullion/0198…/studio`. */
  get studioOrigin(): string {
    return this.#studioOrigin;
  }

  get archiveId(): string {
    return parseOrigin(this.#studioOrigin)!.archiveId;
  }

  /** Rows outside any transaction. */
  get reads(): Tx {
    return this.#reads;
  }

  /**
   * Runs one command to its committed end.
   *
   * @throws {Problem} for every refusal: of the body, role, version, key, or of the command itself
   */
  async run<B, P, A extends object, R>(
    command: Command<B, P, A, R>,
    input: unknown,
    asking: Asking,
  ): Promise<Outcome<A>> {
    const body = parsed(command.body, input);
    const digest = requestDigest(command.type, body, asking.ifMatch, command.secrets);
    const { pool } = this.#ports;
    const remembering = new NotedReads(pool, this.#reads, this.#recent);
    let ready: Waiting | Outcome<A> | undefined;
    try {
      ready = await this.#ready(command, body, asking, digest, remembering);
      return await this.#commit(ready);
    } catch (error) {
      // What memory answered may be outdated: a refusal before the lock counts only when read anew.
      const isOutdated =
        ready === undefined ? remembering.isRemembering : error instanceof OutdatedReads;
      if (!isOutdated) throw error;
    }
    const reads = new NotedReads(pool, this.#reads);
    return this.#commit(await this.#ready(command, body, asking, digest, reads));
  }

  /** Everything of a command that comes before the lock. */
  async #ready<B, P, A extends object, R>(
    command: Command<B, P, A, R>,
    body: B,
    asking: Asking,
    digest: string,
    reads: NotedReads,
  ): Promise<Waiting | Outcome<A>> {
    // Asked at the same moment. The kept answer counts first: what it is about may be gone since.
    const site = command.siteOf(body, reads);
    const grants = command.role === 'anyone' ? [] : grantsFor(reads, asking);
    if (reads.isRemembering && reads.isFromMemory) supposeNew(reads, asking);
    else {
      const kept = keptAnswer(reads, asking, digest);
      await Promise.allSettled([kept, site, grants]);
      const replay = await kept;
      if (replay !== undefined) return replay as Outcome<A>;
    }
    const [siteId, held] = await Promise.all([site, grants]);
    // Asked once before slow work and once more under the lock, where it counts.
    allowed(command, siteId, held);
    const prepared = await command.prepare?.(body, { tx: reads, objects: this.objects });
    return {
      command: command as unknown as AnyCommand,
      body,
      prepared,
      siteId,
      asking,
      digest,
      asked: reads.asked,
    };
  }

  async #commit<A extends object>(ready: Waiting | Outcome<A>): Promise<Outcome<A>> {
    if ('answer' in ready) return ready;
    return (await this.#commits.add(ready.siteId ?? STUDIO_LOG, ready)) as Outcome<A>;
  }

  /** Waits for what is under way, and for checkpoints on their way to the object store. */
  async close(): Promise<void> {
    await this.#commits.idle();
    await this.#copies.close();
  }

  /**
   * A checkpoint that somebody holds, against the logs as they are: one that they cannot reach closes
   * its log, and the next epoch opens.
   * @throws {Problem} `checkpoint-unreadable`, `checkpoint-foreign`
   */
  async consider(note: string, heldBy: 'given' | 'client'): Promise<Consideration> {
    const said = await considerCheckpoint(this.#epochPorts(), note, heldBy);
    await this.#readStudioOrigin();
    return said;
  }

  /** A database that is behind the copies of its own checkpoints was set back: that is told first. */
  async #tellOfLosses(): Promise<void> {
    for (const sentence of await tellOfNewerCopies(this.#epochPorts())) {
      this.#ports.onSetBack?.(sentence);
    }
    await this.#readStudioOrigin();
  }

  #epochPorts() {
    return { ...this.#ports, keys: this.#keys, clock: this.#clock };
  }

  async #openStudio(): Promise<void> {
    const now = new Date(this.#clock());
    const origin = originLine({ archiveId: uuidV7(now.getTime()), log: 'studio' });
    await openLog(this.#reads, { logId: STUDIO_LOG, origin, siteId: null, at: now });
    await this.#readStudioOrigin();
  }

  async #readStudioOrigin(): Promise<void> {
    const row = await this.#reads.first<{ origin: string }>(
      `SELECT origin FROM log WHERE log_id = ${OPEN_LOG}`,
      [STUDIO_LOG],
    );
    this.#studioOrigin = row!.origin;
  }
}
