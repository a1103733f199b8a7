import type { z } from 'zod';
import type { ObjectStore } from '#libs/objects';
import type { Role } from './role.js';
import type { Tx } from './tx.js';
import type { Target } from './unknown.js';

/** Bytes in the object store that an entry names. */
export interface ObjectRef {
  readonly digest: string;
  readonly sizeBytes: number;
  /** what the bytes are to the entry: original, net, drawing, geometry, dossier, … */
  readonly role: string;
}

export interface JobRequest {
  readonly queue: string;
  readonly data: Record<string, unknown>;
  readonly jobId: string;
  /** for lists of jobs: what it is about */
  readonly siteId?: string;
  readonly subject?: string;
}

export interface CommandContext {
  readonly actorId: string;
  readonly now: Date;
  readonly tx: Tx;
  readonly objects: ObjectStore;
  /** Highest role of the actor; null asks for the studio as a whole. */
  roleAt(siteId: string | null): Role | null;
  /** uuid v7 */
  newId(): string;
  /** what the request gave; for rows where it is optional */
  readonly ifMatch: string | undefined;
  /**
   * Refuses the command unless `If-Match` names the version that is there.
   *
   * @throws {Problem} `version-required` 428, `stale-version` 412
   */
  expectVersion(current: number | bigint): void;
}

/** What a command makes of the request: the entry to append and the jobs to queue. */
export interface Decision<P> {
  /** `begins`: file form of the site's mark, given by the one command that adds the site */
  readonly log: 'studio' | { readonly siteId: string; readonly begins?: string };
  /** mark, or null for what has none */
  readonly subject: string | null;
  /** EDTF, as claimed */
  readonly happened: string | null;
  readonly payload: P;
  readonly objects?: readonly ObjectRef[];
  /** entry of the same site that this one replaces, by its place in the history */
  readonly supersedes?: { readonly seq: number };
  readonly jobs?: readonly JobRequest[];
}

/** An entry as projections read it: live and in a rebuild alike. */
export interface ProjectedEntry<P = unknown> {
  readonly logId: string;
  /** origin line of the log, as the entry names it */
  readonly origin: string;
  /** null in the studio's log */
  readonly siteId: string | null;
  /**
   * Place in the history of the site over all epochs (`placeInHistory` of libs/ledger): what versions
   * are counted by. In the first epoch it is the number of the entry in its log.
   */
  readonly seq: number;
  /** number of the entry in its log, from 0 */
  readonly index: number;
  readonly type: string;
  readonly subject: string | null;
  readonly actorId: string;
  readonly happened: string | null;
  readonly recordedAt: Date;
  readonly payload: P;
}

/** What projections may use besides the entry. */
export interface ProjectionPorts {
  readonly objects: ObjectStore;
}

/**
 * One kind of change: decide → entry → project → answer.
 *
 * `B` is the body (path parameters merged in), `P` the payload of the entry, `A` the answer and `R`
 * what `prepare` made ready. `project` alone writes projections.
 */
export interface Command<B, P, A extends object, R = undefined> {
  /** 'finding.record' */
  readonly type: string;
  readonly body: z.ZodType<B>;
  /** lowest role that may do it; 'anyone' only for the first keeper */
  readonly role: Role | 'anyone';
  /** what is answered as unknown where the actor may not read: 'panel' → `panel-unknown` */
  readonly target?: Target;
  readonly status?: 200 | 201 | 202;
  /** members that an idempotency key is not compared by: a digest of a password can be guessed */
  readonly secrets?: readonly string[];
  /**
   * Site whose log and role count; null for the studio.
   *
   * @throws {Problem} when the thing named is not there
   */
  siteOf(body: B, tx: Tx): Promise<string | null>;
  /** Slow work (geometry, objects) before the log is locked. */
  prepare?(body: B, ports: PrepareContext): Promise<R>;
  decide(body: B, ctx: CommandContext, prepared: R): Promise<Decision<P>>;
  project(entry: ProjectedEntry<P>, tx: Tx, ports: ProjectionPorts): Promise<void>;
  /** Rows that are not projections (keys, password hashes), in the same transaction, live only. */
  beside?(body: B, entry: ProjectedEntry<P>, tx: Tx, prepared: R): Promise<void>;
  answer(entry: ProjectedEntry<P>, tx: Tx): Promise<A>;
}

export interface PrepareContext {
  /** the pool: sees committed rows only */
  readonly tx: Tx;
  readonly objects: ObjectStore;
}

export interface EntryRef {
  readonly logId: string;
  readonly seq: number;
}

/** Every answer to a write carries these two. */
export interface Written {
  readonly version: number;
  readonly entry: EntryRef;
}

/** Binds the type parameters from the parts, so that commands need not spell them. */
export function defineCommand<B, P, A extends object, R = undefined>(
  command: Command<B, P, A, R>,
): Command<B, P, A, R> {
  return command;
}
