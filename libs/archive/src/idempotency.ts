import { Problem } from '#libs/problem';
import type { NotedReads } from './grouped-reads.js';
import type { Lookup } from './lookup.js';
import type { RowTarget } from './row-insert.js';
import type { Tx } from './tx.js';

interface Key {
  readonly actorId: string;
  readonly idempotencyKey?: string | undefined;
}

interface KeptAnswer {
  readonly answer: { version: number; entry: { logId: string; seq: number } };
  readonly status: number;
  readonly entry: { logId: string; seq: number };
  readonly replayed: true;
}

interface KeptRow {
  actorId: string;
  key: string;
  requestDigest: string;
  status: number;
  answer: KeptAnswer['answer'];
}

const TABLE = 'idempotency';

const KEPT: Lookup<KeptRow> = {
  text: `SELECT i.* FROM unnest($1::uuid[], $2::text[]) AS wanted (actor_id, key)
    CROSS JOIN LATERAL (
      SELECT actor_id, key, request_digest, status, answer FROM ${TABLE}
      WHERE actor_id = wanted.actor_id AND key = wanted.key LIMIT 1) i`,
  tables: [TABLE],
  isPrepared: true,
  rowOf: TABLE,
  keyOf: ({ actorId, key }) => [actorId, key],
};

const ROWS: RowTarget = {
  table: TABLE,
  key: ['actorId', 'key'],
  json: ['answer'],
  // A command answers for its own key: one that another log's command took meanwhile is no answer.
  whenThere: 'fail',
  types: {
    actorId: 'uuid',
    key: 'text',
    requestDigest: 'text',
    status: 'int4',
    answer: 'json',
    keptAt: 'timestamptz',
  },
};

/** Takes the key for a new one: its row is refused when it is not. */
export function supposeNew(reads: NotedReads, { actorId, idempotencyKey }: Key): void {
  if (idempotencyKey !== undefined) reads.supposeNone(KEPT, actorId, idempotencyKey);
}

/**
 * The answer that was given to this key before, if any.
 *
 * @throws {Problem} `idempotency-key-reused` when the key named another request
 */
export async function keptAnswer(
  tx: Tx,
  { actorId, idempotencyKey }: Key,
  digest: string,
): Promise<KeptAnswer | undefined> {
  if (idempotencyKey === undefined) return undefined;
  const [row] = await tx.ask(KEPT, actorId, idempotencyKey);
  if (row === undefined) return undefined;
  if (row.requestDigest !== digest) {
    throw new Problem(
      'idempotency-key-reused',
      'This Idempotency-Key was used for another request. Make a new key for a new request.',
      { field: 'Idempotency-Key' },
    );
  }
  return { answer: row.answer, status: row.status, entry: row.answer.entry, replayed: true };
}

export async function keepAnswer(
  tx: Tx,
  { actorId, idempotencyKey }: Key,
  digest: string,
  kept: { status: number; answer: object },
  now: Date,
): Promise<void> {
  if (idempotencyKey === undefined) return;
  const { status, answer } = kept;
  await tx.put(ROWS, {
    actorId,
    key: idempotencyKey,
    requestDigest: digest,
    status,
    answer,
    keptAt: now,
  });
}

/** Longer than a phone lies in a drawer with a picture that nobody sent. */
const KEPT_MS = 366 * 24 * 60 * 60 * 1000;
const AT_ONCE = 10_000;

/**
 * Forgets answers that were given more than a year ago: a request that is sent again after that is
 * taken for a new one.
 *
 * @returns answers forgotten
 */
export async function forgetOldAnswers(tx: Tx, now: Date, signal?: AbortSignal): Promise<number> {
  const before = new Date(now.getTime() - KEPT_MS);
  let forgotten = 0;
  for (;;) {
    signal?.throwIfAborted();
    const some = await tx.run(
      `DELETE FROM ${TABLE} WHERE (actor_id, key) IN
         (SELECT actor_id, key FROM ${TABLE} WHERE kept_at < $1 LIMIT ${AT_ONCE})`,
      [before],
    );
    forgotten += some;
    if (some < AT_ONCE) return forgotten;
  }
}

const UNIQUE_VIOLATION = '23505'; // PostgreSQL, appendix A

/** What a command is told whose key was taken while it was written; undefined for other errors. */
export function keyTaken(error: unknown): Problem | undefined {
  const { code, table } = error as { code?: unknown; table?: unknown };
  // Only two requests that name different logs can meet here.
  if (code !== UNIQUE_VIOLATION || table !== TABLE) return undefined;
  return new Problem(
    'idempotency-key-busy',
    'Another request with this Idempotency-Key is being written. Make a new key for this one.',
    { field: 'Idempotency-Key' },
    { cause: error },
  );
}
