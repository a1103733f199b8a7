import { Problem } from '#libs/problem';
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
  const row = await tx.first<{
    requestDigest: string;
    status: number;
    answer: KeptAnswer['answer'];
  }>('SELECT request_digest, status, answer FROM idempotency WHERE actor_id = $1 AND key = $2', [
    actorId,
    idempotencyKey,
  ]);
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
  const added = await tx.run(
    `INSERT INTO idempotency (actor_id, key, request_digest, status, answer, kept_at)
     VALUES ($1, $2, $3, $4, $5, $6) ON CONFLICT DO NOTHING`,
    [actorId, idempotencyKey, digest, kept.status, JSON.stringify(kept.answer), now],
  );
  // Only two requests that name different logs can meet here.
  if (added === 0) {
    throw new Problem(
      'idempotency-key-busy',
      'Another request with this Idempotency-Key is being written. Make a new key for this one.',
      { field: 'Idempotency-Key' },
    );
  }
}
