/** The newest signed head of a log of ours, and proofs on it, for those outside who are asked. */
import { consistencyProof } from '#libs/ledger';
import { readNodes } from '../log-tiles.js';
import type { Tx } from '../tx.js';

export interface OwnHead {
  readonly logId: string;
  readonly origin: string;
  readonly size: number;
  /** as the archive signed it, without anybody's cosignature */
  readonly note: string;
}

/** Of every log that has an entry; one log's when it is named. */
export function ownHeads(tx: Tx, logId?: string): Promise<OwnHead[]> {
  return tx.query<OwnHead>(
    `SELECT l.log_id, l.origin, c.size, c.note FROM log l
     JOIN LATERAL (SELECT size, note FROM checkpoint
       WHERE log_id = l.log_id AND split_part(note, E'\\n', 1) = l.origin
       ORDER BY size DESC LIMIT 1) c ON true
     WHERE $1::text IS NULL OR l.log_id = $1 ORDER BY l.site_id NULLS FIRST`,
    [logId ?? null],
  );
}

export async function growthProof(tx: Tx, head: OwnHead, from: number): Promise<Uint8Array[]> {
  return consistencyProof(
    { readHashes: (nodes) => readNodes(tx, head.logId, nodes) },
    from,
    head.size,
  );
}
