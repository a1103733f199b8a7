/**
 * Writes the commands that wait for one log, in one transaction.
 *
 * First together: reads foreseen and asked at once, rows written a table at a time. A command that is
 * refused before it wrote anything leaves no trace and harms no other. When anything else fails, the
 * transaction is rolled back and the batch is written again with a savepoint for each command, so
 * that the one at fault is found and the others stand.
 *
 * Where this process knows where the log and the studio's log stand, and remembers from there all that
 * the commands read, it decides ahead of the lock: what is small then goes over as one statement, more of
 * it while the next commands are decided. Nothing is committed unless the logs stand there still; else the
 * batch is written as if nothing were known.
 */
import { originLine } from '#libs/ledger';
import type { ObjectStore } from '#libs/objects';
import { Problem } from '#libs/problem';
import { type Author, appendEntry } from './append-entry.js';
import { type Asked, BatchTx } from './batch-tx.js';
import type { Command, CommandContext, Decision, EntryRef, Written } from './command.js';
import { isDatabaseAway } from './database-away.js';
import { expectVersion } from './expected-version.js';
import type { Ended } from './group-commit.js';
import { uuidV7 } from './id.js';
import { keepAnswer, keptAnswer, keyTaken } from './idempotency.js';
import { type JobSender, queueJobs } from './job-sender.js';
import { announceInLog, keysInForce } from './keys/announcement.js';
import { type Basis, KnownHeads } from './known-heads.js';
import {
  type LogHead,
  lineOf,
  lockHead,
  openLog,
  type SignedHead,
  STUDIO_LOG,
  signHead,
  writeHead,
} from './log-head.js';
import { keyText } from './lookup.js';
import { writeAtOnce } from './one-statement.js';
import { isSameAnswer, isWithin, OutdatedReads, type RecentAnswers } from './recent-answers.js';
import { allowed, grantBehind, grantsFor, type Role, roleAmong } from './role.js';
import { type KeyRing, signerFor } from './signer.js';
import { type SqlPool, type SqlPoolClient, Tx } from './tx.js';

/** Who asks, and under which conditions. */
export interface Asking {
  readonly actorId: string;
  readonly idempotencyKey?: string | undefined;
  /** version that the revision was made from, as text without quotes */
  readonly ifMatch?: string | undefined;
  /** an API token or a paired phone for one site only */
  readonly onlySiteId?: string | null | undefined;
  /** a paired phone may do no more than this */
  readonly mostRole?: Role | null | undefined;
}

export interface Outcome<A> {
  readonly answer: A & Written;
  readonly status: number;
  readonly entry: EntryRef;
  /** true when the answer was kept from an earlier request with the same key */
  readonly replayed: boolean;
}

// A batch holds commands of every kind; each meets only the body it parsed itself.
export type AnyCommand = Command<never, never, object, never>;

export interface Waiting {
  readonly command: AnyCommand;
  readonly body: unknown;
  readonly prepared: unknown;
  readonly siteId: string | null;
  readonly asking: Asking;
  readonly digest: string;
  /** what was asked before the log was locked */
  readonly asked: readonly Asked[];
}

export interface WriterPorts {
  readonly pool: SqlPool;
  readonly objects: ObjectStore;
  readonly keys: KeyRing;
  readonly jobs: JobSender;
  readonly clock: () => number;
  /** first part of the origin line of a log that is begun */
  archiveId(): string;
  committed(heads: readonly SignedHead[]): void;
  /** filled with what committed batches read */
  readonly recent?: RecentAnswers;
}

/** After so many commands the rows they made are sent, while the next ones are decided. */
const SENT_AT_ONCE = 24;

const BEGIN = 'BEGIN ISOLATION LEVEL READ COMMITTED';

const NOBODY: ReadonlySet<Waiting> = new Set();

interface Batch {
  readonly tx: BatchTx;
  /** site, or `studio` */
  readonly line: string;
  /** where its log and the studio's stood */
  readonly basis: Basis;
  readonly heads: Map<string, LogHead>;
  readonly touched: Set<string>;
}

interface Done {
  readonly ended: Ended<Outcome<object>>[];
  readonly heads: readonly SignedHead[];
}

export class BatchWriter {
  readonly #ports: WriterPorts;
  readonly #known = new KnownHeads();

  constructor(ports: WriterPorts) {
    this.#ports = ports;
  }

  /** @throws {Problem} `archive-unavailable` when nothing of the batch was acknowledged */
  async write(line: string, batch: readonly Waiting[]): Promise<Ended<Outcome<object>>[]> {
    let client: SqlPoolClient | undefined;
    try {
      client = await this.#ports.pool.connect();
      const done =
        (await this.#ahead(client, line, batch)) ??
        (await this.#together(client, line, batch)) ??
        (await this.#apart(client, line, batch));
      client.release();
      this.#known.left(done.heads);
      this.#ports.committed(done.heads);
      return done.ended;
    } catch (error) {
      // Whether COMMIT reached the disk is told by a retry with the same key.
      client?.release(true);
      throw error instanceof Problem ? error : unavailable(error);
    }
  }

  /** @returns undefined when too little is remembered, or it does not hold: nothing is written then */
  async #ahead(
    client: SqlPoolClient,
    line: string,
    waiting: readonly Waiting[],
  ): Promise<Done | undefined> {
    const basis = this.#known.basis(line);
    const { head, studio } = basis;
    if (head === undefined || studio === undefined) return undefined;
    if (!waiting.every(({ asked }) => asked.every((one) => this.#isRemembered(one, line))))
      return undefined;
    let held: Promise<boolean> | undefined;
    const tx = new BatchTx(client, () => {
      const first = new Tx(client);
      // Both are waited for together: a connection that breaks refuses each of them.
      held = Promise.all([first.run(BEGIN), this.#known.lockedAt(first, line, basis)]).then(
        ([, isThere]) => isThere,
      );
      held.catch(() => undefined); // told where it is waited for
    });
    for (const { asked } of waiting) tx.suppose(asked);
    const batch = { tx, line, basis, heads: new Map([[line, head]]), touched: new Set<string>() };
    return this.#asOne(batch, waiting, NOBODY, async (ended, heads, now) => {
      // A refusal counts only when its key is known to be new, and no row is there to be refused.
      if (ended.some((end) => 'refusal' in end)) return false;
      const [to] = heads;
      const rows = tx.isUnsent && heads.length === 1 && to!.logId === head.logId && tx.single;
      if (rows) return writeAtOnce(client, { from: head, to: to!, studio, signedAt: now }, rows);
      tx.begin();
      return (await held!) && committed(tx, heads, now);
    });
  }

  #isRemembered({ lookup, key, supposed, isGuarded }: Asked, line: string): boolean {
    if (isGuarded === true) return true;
    if (supposed === undefined || !isWithin(lookup, supposed, line)) return false;
    return this.#ports.recent?.holds(lookup, key, supposed) === true;
  }

  /** @returns undefined when it was rolled back and has to be written apart */
  async #together(
    client: SqlPoolClient,
    line: string,
    waiting: readonly Waiting[],
  ): Promise<Done | undefined> {
    const tx = new BatchTx(client);
    let batch: Batch;
    try {
      batch = await this.#begin(tx, line, waiting);
    } catch {
      await tx.rollBack();
      return undefined;
    }
    return this.#asOne(batch, waiting, outdatedAmong(waiting, tx), (_, heads, now) =>
      committed(tx, heads, now),
    );
  }

  /**
   * Decides the commands, signs the heads and has all of it committed.
   * @returns undefined when it was rolled back
   */
  async #asOne(
    batch: Batch,
    waiting: readonly Waiting[],
    outdated: ReadonlySet<Waiting>,
    commit: (
      ended: readonly Ended<unknown>[],
      heads: readonly SignedHead[],
      now: Date,
    ) => Promise<boolean>,
  ): Promise<Done | undefined> {
    const { tx } = batch;
    try {
      const ended: Ended<Outcome<object>>[] = [];
      for (const [i, one] of waiting.entries()) {
        if (i > 0 && i % SENT_AT_ONCE === 0) tx.sendOwnRows();
        const { changes } = tx;
        try {
          if (outdated.has(one)) throw new OutdatedReads();
          ended.push({ outcome: await this.#one(batch, one) });
        } catch (error) {
          if (tx.changes !== changes) throw error;
          ended.push({ refusal: error });
        }
      }
      const now = new Date(this.#ports.clock());
      const heads = await this.#signed(batch);
      if (await commit(ended, heads, now)) {
        this.#remember(batch);
        return { ended, heads };
      }
    } catch (error) {
      // Sent as one statement, it may be written: a retry with the same key tells.
      if (tx.isUnsent && isDatabaseAway(error)) throw error;
      // Told anew, of the command at fault alone, when they are written apart.
    }
    await tx.rollBack();
    return undefined;
  }

  async #apart(client: SqlPoolClient, line: string, waiting: readonly Waiting[]): Promise<Done> {
    const tx = new BatchTx(client);
    const batch = await this.#begin(tx, line, waiting);
    const outdated = outdatedAmong(waiting, tx);
    const ended: Ended<Outcome<object>>[] = [];
    for (const one of waiting) {
      const before = { heads: [...batch.heads], touched: [...batch.touched] };
      await client.query('SAVEPOINT command');
      try {
        if (outdated.has(one)) throw new OutdatedReads();
        const outcome = await this.#one(batch, one);
        await tx.settled();
        ended.push({ outcome });
      } catch (error) {
        const cause = tx.failure ?? error;
        await client.query('ROLLBACK TO SAVEPOINT command');
        tx.forget();
        batch.heads.clear();
        for (const [id, head] of before.heads) batch.heads.set(id, head);
        batch.touched.clear();
        for (const id of before.touched) batch.touched.add(id);
        ended.push({ refusal: refusalOf(cause) });
      }
      await client.query('RELEASE SAVEPOINT command');
    }
    const now = new Date(this.#ports.clock());
    const heads = await this.#signed(batch);
    if (!(await committed(tx, heads, now)))
      throw tx.failure ?? new Error('the database rolled the batch back');
    this.#ports.recent?.forget('all');
    return { ended, heads };
  }

  #remember({ tx, line, basis }: Batch): void {
    const { recent } = this.#ports;
    if (recent === undefined) return;
    recent.forget(tx.written);
    // Somebody wrote beside this batch: what it read may be older than what is known by now.
    if (!this.#known.isStill(line, basis)) return;
    for (const [lookup, answers] of tx.answers)
      for (const [key, rows] of answers) recent.remember(lookup, key, rows, line);
  }

  /**
   * Begins, locks and asks. The lock is on its way before anything is asked: the connection keeps the
   * order, so that all of it is answered under the lock, and not as it was before another server wrote.
   */
  async #begin(tx: BatchTx, line: string, waiting: readonly Waiting[]): Promise<Batch> {
    const begun = tx.write(BEGIN, [], []);
    const locked = this.#known.lock(tx, line, () => this.#ports.recent?.doubt());
    const [head] = await Promise.all([
      locked,
      tx.foresee(waiting.flatMap(({ asked }) => asked)),
      begun,
    ]);
    if (head !== undefined) signerFor(this.#ports.keys, head);
    const basis = this.#known.basis(line);
    const heads = new Map(head === undefined ? [] : [[line, head]]);
    return { tx, line, basis, heads, touched: new Set() };
  }

  async #signed({ heads, touched }: Batch): Promise<SignedHead[]> {
    const signed: SignedHead[] = [];
    for (const line of touched) {
      const head = heads.get(line)!;
      signed.push(await signHead(head, signerFor(this.#ports.keys, head)));
    }
    return signed;
  }

  async #one(batch: Batch, waiting: Waiting): Promise<Outcome<object>> {
    const { tx } = batch;
    const { objects, clock } = this.#ports;
    const { command, asking, digest } = waiting;
    const kept = await keptAnswer(tx, asking, digest);
    if (kept !== undefined) return kept;

    const grants = command.role === 'anyone' ? [] : await grantsFor(tx, asking);
    allowed(command, waiting.siteId, grants);
    const now = new Date(clock());
    const ctx: CommandContext = {
      actorId: asking.actorId,
      now,
      tx,
      objects,
      roleAt: (siteId) => roleAmong(grants, siteId),
      newId: () => uuidV7(clock()),
      ifMatch: asking.ifMatch,
      expectVersion: (current) => {
        expectVersion(asking.ifMatch, current);
      },
    };
    const body = waiting.body as never;
    const prepared = waiting.prepared as never;
    const decision: Decision<never> = await command.decide(body, ctx, prepared);
    const by = { actorId: asking.actorId, givenBy: grantBehind(grants, waiting.siteId), now };
    const before = await this.#head(batch, decision, by);
    const { head, entry } = await appendEntry(tx, before, command.type, decision, by);
    batch.heads.set(lineOf(head), head);
    batch.touched.add(lineOf(head));
    await command.project(entry, tx, { objects });
    await command.beside?.(body, entry, tx, prepared);
    await queueJobs(tx, this.#ports.jobs, decision.jobs ?? [], asking.actorId, now);
    const ref = { logId: entry.logId, seq: entry.index };
    const answer = { version: entry.seq, ...(await command.answer(entry, tx)), entry: ref };
    const status = command.status ?? 200;
    await keepAnswer(tx, asking, digest, { status, answer }, now);
    return { answer, status, entry: ref, replayed: false };
  }

  async #head(batch: Batch, decision: Decision<unknown>, by: Author): Promise<LogHead> {
    const logId = decision.log === 'studio' ? STUDIO_LOG : decision.log.siteId;
    const known =
      batch.heads.get(logId) ?? (await lockHead(batch.tx, logId, this.#known.get(logId)));
    if (known !== undefined) {
      signerFor(this.#ports.keys, known);
      return known;
    }
    const site = decision.log === 'studio' ? undefined : decision.log.begins;
    if (site === undefined) throw new Error(`log ${logId} was never begun`);
    const origin = originLine({ archiveId: this.#ports.archiveId(), log: { site } });
    const head = await openLog(batch.tx, { logId, origin, siteId: logId, at: by.now });
    const keys = await keysInForce(batch.tx);
    return announceInLog(batch.tx, head, keys, this.#ports.keys, by);
  }
}

/** Writes the heads and all that is kept back; whether it is committed. */
async function committed(tx: BatchTx, heads: readonly SignedHead[], now: Date): Promise<boolean> {
  for (const head of heads) await writeHead(tx, head, now);
  return tx.commit();
}

/** Those whose reads before the lock are not what the database answers under it. */
function outdatedAmong(waiting: readonly Waiting[], tx: BatchTx): ReadonlySet<Waiting> {
  const judged = new Map<readonly unknown[], boolean>();
  const holds = ({ lookup, key, supposed }: Asked): boolean => {
    if (supposed === undefined) return true;
    let isSame = judged.get(supposed);
    if (isSame === undefined) {
      isSame = isSameAnswer(supposed, tx.answers.get(lookup)?.get(keyText(key)) ?? []);
      judged.set(supposed, isSame);
    }
    return isSame;
  };
  return new Set(waiting.filter(({ asked }) => !asked.every(holds)));
}

function refusalOf(error: unknown): unknown {
  return isDatabaseAway(error) ? unavailable(error) : (keyTaken(error) ?? error);
}

export function unavailable(cause: unknown): Problem {
  return new Problem(
    'archive-unavailable',
    'The database did not take the record. Nothing was acknowledged; send it again with the same Idempotency-Key.',
    {},
    { cause },
  );
}
