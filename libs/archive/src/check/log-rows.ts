/** The rows of one log, a page at a time, so that a check needs the same memory for any length. */
import type { NodeId, StoredEntry } from '#libs/ledger';
import type { Tx } from '../tx.js';

export const ENTRIES_A_PAGE = 500;

interface EntryRow {
  seq: number;
  type: string;
  subject: string | null;
  actorId: string;
  happened: string | null;
  recordedAt: Date;
  bytes: Buffer;
  leafHash: Buffer;
}

/** Entries from … to − 1 that are there, by number. */
export async function entryRows(
  tx: Tx,
  logId: string,
  from: number,
  to: number,
): Promise<Map<number, StoredEntry>> {
  const rows = await tx.query<EntryRow>(
    `SELECT seq, type, subject, actor_id, happened, recorded_at, bytes, leaf_hash FROM entry
     WHERE log_id = $1 AND seq >= $2 AND seq < $3`,
    [logId, from, to],
  );
  return new Map(
    rows.map((row) => [row.seq, { ...row, recordedAt: row.recordedAt.toISOString() }]),
  );
}

/** Entries with numbers that the log of `size` entries has not: at most ten of them. */
export function strayEntries(
  tx: Tx,
  logId: string,
  size: number,
): Promise<Pick<StoredEntry, 'seq' | 'type' | 'subject'>[]> {
  return tx.query(
    `SELECT seq, type, subject FROM entry WHERE log_id = $1 AND (seq < 0 OR seq >= $2)
     ORDER BY seq LIMIT 10`,
    [logId, size],
  );
}

export type StoredNodes = (node: NodeId) => Uint8Array | undefined;

/** Hashes of the subtrees that became complete with entries from … to − 1. */
export async function nodeRows(
  tx: Tx,
  logId: string,
  from: number,
  to: number,
): Promise<StoredNodes> {
  const ranges: { level: number; from: number; to: number }[] = [];
  for (let level = 0, span = 1; span <= to; level++, span *= 2) {
    const [first, end] = [Math.floor(from / span), Math.floor(to / span)];
    if (end > first) ranges.push({ level, from: first, to: end });
  }
  const rows = await tx.query<{ level: number; index: number; hash: Buffer }>(
    `SELECT n.level, n.index, n.hash
     FROM unnest($2::int[], $3::bigint[], $4::bigint[]) AS wanted(level, first, beyond)
     JOIN log_node n ON n.log_id = $1 AND n.level = wanted.level
       AND n.index >= wanted.first AND n.index < wanted.beyond`,
    [
      logId,
      ranges.map((range) => range.level),
      ranges.map((range) => range.from),
      ranges.map((range) => range.to),
    ],
  );
  const found = new Map(rows.map(({ level, index, hash }) => [`${level}/${index}`, hash]));
  return ({ level, index }) => found.get(`${level}/${index}`);
}

/** Stored hashes of subtrees that the tree of `size` leaves has not: at most ten of them. */
export function strayNodes(tx: Tx, logId: string, size: number): Promise<NodeId[]> {
  return tx.query<NodeId>(
    `SELECT level, index FROM log_node
     WHERE log_id = $1 AND (level NOT BETWEEN 0 AND 52 OR index < 0
       OR index >= $2::bigint >> least(greatest(level, 0), 62))
     ORDER BY level, index LIMIT 10`,
    [logId, size],
  );
}

/** Checkpoints of sizes from + 1 … to, by size. */
export async function checkpointRows(
  tx: Tx,
  logId: string,
  from: number,
  to: number,
): Promise<Map<number, string>> {
  const rows = await tx.query<{ size: number; note: string }>(
    'SELECT size, note FROM checkpoint WHERE log_id = $1 AND size > $2 AND size <= $3',
    [logId, from, to],
  );
  return new Map(rows.map(({ size, note }) => [size, note]));
}

/** Sizes of checkpoints that a log of `size` entries cannot have. */
export async function strayCheckpoints(tx: Tx, logId: string, size: number): Promise<number[]> {
  const rows = await tx.query<{ size: number }>(
    `SELECT size FROM checkpoint WHERE log_id = $1 AND (size < 1 OR size > $2)
     ORDER BY size LIMIT 10`,
    [logId, size],
  );
  return rows.map((row) => row.size);
}

export interface LogRow {
  logId: string;
  origin: string;
  siteId: string | null;
  size: number;
  rootHash: Buffer;
  lastAt: Date;
}

export function logRows(tx: Tx): Promise<LogRow[]> {
  return tx.query<LogRow>(
    'SELECT log_id, origin, site_id, size, root_hash, last_at FROM log ORDER BY site_id NULLS FIRST, log_id',
  );
}

/**
 * How many entries a log has. One of row, newest checkpoint and count may be damaged: two that agree
 * are believed.
 */
export async function believedSize(tx: Tx, log: Pick<LogRow, 'logId' | 'size'>): Promise<number> {
  const row = await tx.first<{ entries: number; signed: number }>(
    `SELECT (SELECT count(*) FROM entry WHERE log_id = $1) AS entries,
            (SELECT coalesce(max(size), 0) FROM checkpoint WHERE log_id = $1) AS signed`,
    [log.logId],
  );
  const { entries, signed } = row!;
  return log.size === signed ? signed : entries;
}

/**
 * The origin line of a log. Its row may be damaged: what first entry and first checkpoint say alike is
 * believed.
 */
export async function believedOrigin(
  tx: Tx,
  { logId, origin }: Pick<LogRow, 'logId' | 'origin'>,
): Promise<string> {
  const row = await tx.first<{ entry: string | null; note: string | null }>(
    `SELECT (SELECT substring(encode(bytes, 'escape') FROM '"log":"([^"]+)"') FROM entry
             WHERE log_id = $1 AND seq = 0) AS entry,
            (SELECT split_part(note, E'\n', 1) FROM checkpoint
             WHERE log_id = $1 ORDER BY size LIMIT 1) AS note`,
    [logId],
  );
  const { entry, note } = row!;
  return entry !== null && entry === note ? entry : origin;
}
