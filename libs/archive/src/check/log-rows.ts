/** The rows of one log, a page at a time, so that a check needs the same memory for any length. */
import {
  HASH_BYTES,
  type StoredEntry,
  type StoredHashes,
  TILE_LEVELS,
  TILE_WIDTH,
  type TileId,
  tileWidth,
} from '#libs/ledger';
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

/**
 * Hashes in the tiles that became full with entries from … to − 1, and in those that lie over them: a
 * leaf and the root of a full tile are stored in the tile over them, that root beside its tile too.
 * @param total entries of the log: a tile that is not full yet is not stored
 */
export async function storedHashes(
  tx: Tx,
  logId: string,
  from: number,
  to: number,
  total: number,
): Promise<StoredHashes> {
  const wanted: TileId[] = [];
  for (let level = 0; tileWidth({ level, index: 0 }, total) === TILE_WIDTH; level++) {
    const span = TILE_WIDTH ** (level + 1);
    for (let index = Math.floor(from / span); index * span < to; index++) {
      if (tileWidth({ level, index }, total) === TILE_WIDTH) wanted.push({ level, index });
    }
  }
  const rows = await tx.query<TileId & { hashes: Buffer; root: Buffer }>(
    `SELECT t.level, t.index, t.hashes, t.root
     FROM unnest($2::int[], $3::bigint[]) AS wanted(level, index)
     JOIN log_tile t ON t.log_id = $1 AND t.level = wanted.level AND t.index = wanted.index`,
    [logId, wanted.map(({ level }) => level), wanted.map(({ index }) => index)],
  );
  const found = new Map(rows.map((row) => [`${row.level}/${row.index}`, row]));
  const isStored = new Set(wanted.map(({ level, index }) => `${level}/${index}`));
  return ({ level, index }) => {
    if (level % TILE_LEVELS !== 0) return [];
    const height = level / TILE_LEVELS;
    const over = `${height}/${Math.floor(index / TILE_WIDTH)}`;
    const below = `${height - 1}/${index}`;
    const at = (index % TILE_WIDTH) * HASH_BYTES;
    return [
      ...(isStored.has(over) ? [found.get(over)?.hashes.subarray(at, at + HASH_BYTES)] : []),
      ...(isStored.has(below) ? [found.get(below)?.root] : []),
    ];
  };
}

/** Stored tiles that the tree of `size` leaves has not: at most ten of them. */
export async function strayTiles(tx: Tx, logId: string, size: number): Promise<TileId[]> {
  const rows = await tx.query<TileId>(
    `SELECT level, index FROM log_tile
     WHERE log_id = $1 AND (level NOT BETWEEN 0 AND 6 OR index < 0 OR length(hashes) <> 8192
       OR index >= $2::bigint >> (8 * (least(greatest(level, 0), 6) + 1)))
     ORDER BY level, index LIMIT 10`,
    [logId, size],
  );
  return rows;
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
export async function strayCheckpoints(tx: Tx, logId: string, size: number): Promise<string[]> {
  const rows = await tx.query<{ size: string }>(
    `SELECT size::text FROM checkpoint WHERE log_id = $1 AND (size < 1 OR size > $2)
     ORDER BY checkpoint.size LIMIT 10`,
    [logId, size],
  );
  return rows.map((row) => row.size);
}

export interface LogRow {
  logId: string;
  origin: string;
  siteId: string | null;
  epoch: number;
  size: number;
  rootHash: Buffer;
  lastAt: Date;
}

export function logRows(tx: Tx): Promise<LogRow[]> {
  return tx.query<LogRow>(
    'SELECT log_id, origin, site_id, epoch, size, root_hash, last_at FROM log ORDER BY site_id NULLS FIRST, epoch, log_id',
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
