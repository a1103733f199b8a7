/**
 * The write path: every change is a command, every command one entry of a log and its projections,
 * in one transaction. Nothing is answered before COMMIT.
 */
import { originLine, parseOrigin } from '#libs/ledger';
import type { ObjectStore } from '#libs/objects';
import { Problem } from '#libs/problem';
import { type Author, appendEntry } from './append-entry.js';
import { copyCheckpoint } from './checkpoint-copy.js';
import type {
  Command,
  CommandContext,
  Decision,
  EntryRef,
  ProjectedEntry,
  Written,
} from './command.js';
import { GroupCommit } from './group-commit.js';
import { uuidV7 } from './id.js';
import { keepAnswer, keptAnswer } from './idempotency.js';
import { type JobSender, queueJobs } from './job-sender.js';
import { announceInLog, keysInForce } from './keys/announcement.js';
import {
  type LogHead,
  lockHead,
  openLog,
  type SignedHead,
  STUDIO_LOG,
  storeHead,
} from './log-head.js';
import { parsed } from './parse-body.js';
import { requestDigest } from './request-digest.js';
import {
  type Grant,
  grantBehind,
  grantsOf,
  isAtLeast,
  narrowed,
  type ProvenGrant,
  roleAmong,
} from './role.js';
import { type ArchiveSigner, type KeyRing, ringOf, signerFor } from './signer.js';
import { type SqlPool, Tx } from './tx.js';
import { unknown } from './unknown.js';

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
}

/** Who asks, and under which conditions. */
export interface Asking {
  readonly actorId: string;
  readonly idempotencyKey?: string | undefined;
  /** version that the revision was made from, as text without quotes */
  readonly ifMatch?: string | undefined;
  /** an API token for one site only */
  readonly onlySiteId?: string | null | undefined;
}

export interface Outcome<A> {
  readonly answer: A & Written;
  readonly status: number;
  readonly entry: EntryRef;
  /** true when the answer was kept from an earlier request with the same key */
  readonly replayed: boolean;
}

// A queue holds commands of every kind; each meets only the body it parsed itself.
type AnyCommand = Command<never, never, object, never>;

interface Waiting {
  readonly command: AnyCommand;
  readonly body: unknown;
  readonly prepared: unknown;
  readonly siteId: string | null;
  readonly asking: Asking;
  readonly digest: string;
}

interface Batch {
  readonly tx: Tx;
  readonly heads: Map<string, LogHead>;
  readonly touched: Set<string>;
}

export class Archive {
  readonly #ports: ArchivePorts;
  readonly #commits: GroupCommit<Waiting, Outcome<object>, SignedHead[], Batch>;
  readonly #reads: Tx;
  readonly #keys: KeyRing;
  readonly #clock: () => number;
  #studioOrigin = '';
  #copies: Promise<void> = Promise.resolve();

  private constructor(ports: ArchivePorts) {
    this.#ports = ports;
    this.#reads = new Tx(ports.pool);
    this.#keys = 'signerOf' in ports.signer ? ports.signer : ringOf(ports.signer);
    this.#clock = ports.clock ?? Date.now;
    this.#commits = new GroupCommit({
      pool: ports.pool,
      begin: (tx, logId) => this.#begin(tx, logId),
      one: (batch, waiting) => this.#oneOrNothing(batch, waiting),
      end: (batch) => this.#end(batch),
      committed: (heads) => {
        this.#copyCheckpoints(heads);
      },
    });
  }

  /** Opens the archive; the studio's log is begun the first time, under a new archive id. */
  static async open(ports: ArchivePorts): Promise<Archive> {
    const archive = new Archive(ports);
    await archive.#openStudio();
    return archive;
  }

  get objects(): ObjectStore {
    return this.#ports.objects;
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
    return signerFor(this.#keys, await keysInForce(this.#reads));
  }

  /** The public half of the key in force, whoever holds it. */
  async keyInForce(): Promise<{ publicKey: Uint8Array; fingerprint: string }> {
    const { signingKey, current } = await keysInForce(this.#reads);
    if (signingKey === null) return this.#keys.current;
    return this.#keys.signerOf(signingKey) ?? current ?? this.#keys.current;
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
    const kept = await keptAnswer(this.#reads, asking, digest);
    if (kept !== undefined) return kept as Outcome<A>;
    const siteId = await command.siteOf(body, this.#reads);
    // Asked once before slow work and once more under the lock, where it counts.
    if (command.role !== 'anyone') {
      allowed(command, siteId, await this.#grants(this.#reads, asking));
    }
    const prepared = await command.prepare?.(body, { tx: this.#reads, objects: this.objects });
    const outcome = await this.#commits.add(siteId ?? STUDIO_LOG, {
      command: command as unknown as AnyCommand,
      body,
      prepared,
      siteId,
      asking,
      digest,
    });
    return outcome as Outcome<A>;
  }

  /** Waits for what is under way, and for checkpoints on their way to the object store. */
  async close(): Promise<void> {
    await this.#commits.idle();
    await this.#copies;
  }

  async #begin(tx: Tx, logId: string): Promise<Batch> {
    const head = await lockHead(tx, logId);
    if (head !== undefined) signerFor(this.#keys, head);
    return { tx, heads: new Map(head === undefined ? [] : [[logId, head]]), touched: new Set() };
  }

  async #end(batch: Batch): Promise<SignedHead[]> {
    const now = new Date(this.#clock());
    const signed: SignedHead[] = [];
    for (const logId of batch.touched) {
      const head = batch.heads.get(logId)!;
      signed.push(await storeHead(batch.tx, head, signerFor(this.#keys, head), now));
    }
    return signed;
  }

  /** A command refused after its entry was appended is rolled back: the heads in memory go back too. */
  async #oneOrNothing(batch: Batch, waiting: Waiting): Promise<Outcome<object>> {
    const heads = [...batch.heads];
    const touched = [...batch.touched];
    try {
      return await this.#one(batch, waiting);
    } catch (error) {
      batch.heads.clear();
      for (const [logId, head] of heads) batch.heads.set(logId, head);
      batch.touched.clear();
      for (const logId of touched) batch.touched.add(logId);
      throw error;
    }
  }

  async #one(batch: Batch, waiting: Waiting): Promise<Outcome<object>> {
    const { tx } = batch;
    const { command, asking, digest } = waiting;
    const kept = await keptAnswer(tx, asking, digest);
    if (kept !== undefined) return kept;

    const grants = command.role === 'anyone' ? [] : await this.#grants(tx, asking);
    if (command.role !== 'anyone') allowed(command, waiting.siteId, grants);
    const now = new Date(this.#clock());
    const ctx: CommandContext = {
      actorId: asking.actorId,
      now,
      tx,
      objects: this.objects,
      roleAt: (siteId) => roleAmong(grants, siteId),
      newId: () => uuidV7(this.#clock()),
      ifMatch: asking.ifMatch,
      expectVersion: (current) => {
        expectVersion(asking.ifMatch, current);
      },
    };
    const decision: Decision<never> = await command.decide(
      waiting.body as never,
      ctx,
      waiting.prepared as never,
    );
    const by = { actorId: asking.actorId, givenBy: grantBehind(grants, waiting.siteId), now };
    const entry = await this.#append(batch, command.type, decision, by);
    await command.project(entry, tx, { objects: this.objects });
    await command.beside?.(waiting.body as never, entry, tx, waiting.prepared as never);
    await queueJobs(tx, this.#ports.jobs, decision.jobs ?? [], asking.actorId, now);
    const ref = { logId: entry.logId, seq: entry.seq };
    const answer = { version: entry.seq, ...(await command.answer(entry, tx)), entry: ref };
    const status = command.status ?? 200;
    await keepAnswer(tx, asking, digest, { status, answer }, now);
    return { answer, status, entry: ref, replayed: false };
  }

  async #append<P>(
    batch: Batch,
    type: string,
    decision: Decision<P>,
    by: Author,
  ): Promise<ProjectedEntry<P>> {
    const before = await this.#head(batch, decision, by);
    const { head, entry } = await appendEntry(batch.tx, before, type, decision, by);
    batch.heads.set(head.logId, head);
    batch.touched.add(head.logId);
    return entry;
  }

  async #head(batch: Batch, decision: Decision<unknown>, by: Author): Promise<LogHead> {
    const logId = decision.log === 'studio' ? STUDIO_LOG : decision.log.siteId;
    const known = batch.heads.get(logId) ?? (await lockHead(batch.tx, logId));
    if (known !== undefined) {
      signerFor(this.#keys, known);
      return known;
    }
    const site = decision.log === 'studio' ? undefined : decision.log.begins;
    if (site === undefined) throw new Error(`log ${logId} was never begun`);
    const origin = originLine({ archiveId: this.archiveId, log: { site } });
    const head = await openLog(batch.tx, { logId, origin, siteId: logId, at: by.now });
    const keys = await keysInForce(batch.tx);
    return announceInLog(batch.tx, head, keys, this.#keys, by);
  }

  async #grants(tx: Tx, asking: Asking): Promise<ProvenGrant[]> {
    return narrowed(await grantsOf(tx, asking.actorId), asking.onlySiteId ?? null);
  }

  async #openStudio(): Promise<void> {
    const now = new Date(this.#clock());
    const origin = originLine({ archiveId: uuidV7(now.getTime()), log: 'studio' });
    await openLog(this.#reads, { logId: STUDIO_LOG, origin, siteId: null, at: now });
    const row = await this.#reads.first<{ origin: string }>(
      'SELECT origin FROM log WHERE log_id = $1',
      [STUDIO_LOG],
    );
    this.#studioOrigin = row!.origin;
  }

  // The entry itself does not wait for the copies.
  #copyCheckpoints(heads: readonly SignedHead[]): void {
    const { retainCheckpointsMs: retainMs } = this.#ports;
    this.#copies = this.#copies.then(async () => {
      const retainUntil = retainMs === undefined ? undefined : new Date(this.#clock() + retainMs);
      for (const head of heads) {
        try {
          await copyCheckpoint(this.objects, head, retainUntil);
        } catch (error) {
          this.#ports.onCopyFailed?.(error);
        }
      }
    });
  }
}

function allowed(
  command: Pick<AnyCommand, 'role' | 'target'>,
  siteId: string | null,
  grants: readonly Grant[],
): void {
  if (command.role === 'anyone') return;
  const role = roleAmong(grants, siteId);
  if (role === null && siteId !== null) throw unknown(command.target ?? 'site');
  if (!isAtLeast(role, command.role)) {
    throw new Problem(
      'role-insufficient',
      `This needs the role ${command.role}${siteId === null ? ' for the whole studio' : ' at this site'}; you hold ${role ?? 'none'}. Ask the keeper.`,
      { neededRole: command.role },
    );
  }
}

function expectVersion(ifMatch: string | undefined, current: number | bigint): void {
  const currentVersion = Number(current);
  if (ifMatch === undefined) {
    throw new Problem(
      'version-required',
      'Send the version that you read as If-Match, so that nobody’s change is lost.',
      { field: 'If-Match', currentVersion },
    );
  }
  if (ifMatch !== String(currentVersion)) {
    throw new Problem(
      'stale-version',
      'It was changed since you read it. Read it again, look at both, and send the revision anew.',
      { field: 'If-Match', currentVersion },
    );
  }
}
