/** Proofs over a long log, asked of the server by HTTP and checked; entries are put in by SQL. */
import { hasher, TileMemory, TileReader, Tx } from '#libs/archive';
import { createPool } from '#libs/db';
import {
  Frontier,
  inclusionProof,
  leafHash,
  TILE_LEVELS,
  TILE_WIDTH,
  verifyConsistency,
  verifyInclusion,
} from '#libs/ledger';
import type { ServedArchive } from './served-archive.js';

const AT_ONCE = 20_000;
/** Questions before the clock runs: the server compiles what it does often. */
const WARM = 200;

/**
 * Lengthens the site's log to so many entries, with their tiles, root and size.
 * @returns number of the first entry put in
 */
export async function lengthen(
  { ownerUrl, siteId }: Pick<ServedArchive, 'ownerUrl' | 'siteId'>,
  size: number,
): Promise<number> {
  const owner = createPool(ownerUrl, { max: 1 });
  const client = await owner.connect();
  try {
    const before = await client.query<{ leaf_hash: Buffer }>(
      'SELECT leaf_hash FROM entry WHERE log_id = $1 ORDER BY seq',
      [siteId],
    );
    const frontier = new Frontier(hasher);
    // these have their tiles: the archive puts each in as it becomes full
    for (const { leaf_hash } of before.rows) frontier.append(leaf_hash);
    const full: { level: number; index: number; root: string }[] = [];
    const append = (leaf: Uint8Array) => {
      frontier.append(leaf, ({ level, index, hash: root }) => {
        if (level === 0 || level % TILE_LEVELS !== 0) return;
        full.push({ level: level / TILE_LEVELS - 1, index, root: hexOf(root) });
      });
    };
    while (frontier.size < size) {
      const rows: object[] = [];
      while (rows.length < AT_ONCE && frontier.size < size) {
        const seq = frontier.size;
        const leaf = hasher.leaf(Buffer.from(`entry ${seq}`));
        append(leaf);
        rows.push({ seq, bytes: hexOf(Buffer.from(`entry ${seq}`)), leaf_hash: hexOf(leaf) });
      }
      await client.query(
        `INSERT INTO entry (log_id, seq, type, actor_id, recorded_at, bytes, leaf_hash)
         SELECT $1, seq, 'bench.entry', '0190a0c4-0000-7000-8000-000000000001', now(), bytes, leaf_hash
         FROM json_populate_recordset(NULL::entry, $2::json)`,
        [siteId, JSON.stringify(rows)],
      );
    }
    for (const level of new Set(full.map((tile) => tile.level))) {
      await client.query(
        `INSERT INTO log_tile (log_id, level, index, hashes, root)
         SELECT $1, t.level, t.index, h.hashes, t.root
         FROM json_populate_recordset(NULL::log_tile, $2::json) t
         JOIN LATERAL (SELECT string_agg(b.hash, '' ORDER BY b.at) AS hashes FROM (
           ${level === 0 ? 'SELECT leaf_hash AS hash, seq AS at FROM entry' : 'SELECT root AS hash, index AS at FROM log_tile'}
           WHERE log_id = $1 ${level === 0 ? '' : 'AND level = t.level - 1'}
             AND ${level === 0 ? 'seq' : 'index'} >= t.index * $3::bigint
             AND ${level === 0 ? 'seq' : 'index'} < (t.index + 1) * $3::bigint) b) h ON true`,
        [siteId, JSON.stringify(full.filter((tile) => tile.level === level)), TILE_WIDTH],
      );
    }
    await client.query('UPDATE log SET size = $2, root_hash = $3 WHERE log_id = $1', [
      siteId,
      size,
      Buffer.from(frontier.root()),
    ]);
    return before.rows.length;
  } finally {
    client.release(true);
    await owner.end();
  }
}

/** Milliseconds of each answer, one after the other; every proof is checked. */
export async function proofTimes(
  { keeper, siteId }: ServedArchive,
  { from, size }: { from: number; size: number },
  count: number,
): Promise<{ inclusionMs: number[]; consistencyMs: number[] }> {
  const inclusionMs: number[] = [];
  const consistencyMs: number[] = [];
  for (let i = -WARM; i < count; i++) {
    // spread over the log by a stride that shares no factor with it
    const seq = from + (((i + WARM) * 7_919_993) % (size - from));
    let begin = performance.now();
    const path = `/v1/logs/${siteId}`;
    const found = await keeper.json<Record<string, string> & { hashes: string[] }>(
      'GET',
      `${path}/proof?seq=${seq}`,
    );
    if (i >= 0) inclusionMs.push(performance.now() - begin);
    const head = { size, root: bytesOf(found.body['rootHash']!) };
    const leaf = leafHash(Buffer.from(`entry ${seq}`));
    if (!verifyInclusion(leaf, seq, head, found.body.hashes.map(bytesOf)))
      throw new Error(`the proof of ${seq} does not hold`);
    begin = performance.now();
    const grown = await keeper.json<Record<string, string> & { hashes: string[] }>(
      'GET',
      `${path}/consistency?from=${seq}`,
    );
    if (i >= 0) consistencyMs.push(performance.now() - begin);
    const first = { size: seq, root: bytesOf(grown.body['fromRootHash']!) };
    if (!verifyConsistency(first, head, grown.body.hashes.map(bytesOf)))
      throw new Error(`the proof of growth from ${seq} does not hold`);
  }
  return { inclusionMs, consistencyMs };
}

/** Milliseconds of each proof made in this process, over the database alone. */
export async function proofTimesInProcess(
  { ownerUrl, siteId }: ServedArchive,
  { from, size }: { from: number; size: number },
  count: number,
): Promise<number[]> {
  const pool = createPool(ownerUrl, { max: 2 });
  try {
    const times: number[] = [];
    const tiles = new TileMemory();
    for (let i = -WARM; i < count; i++) {
      const seq = from + (((i + WARM) * 7_919_993) % (size - from));
      const begin = performance.now();
      await inclusionProof(new TileReader(new Tx(pool), siteId, tiles), seq, size, hasher);
      if (i >= 0) times.push(performance.now() - begin);
    }
    return times;
  } finally {
    await pool.end();
  }
}

function bytesOf(base64: string): Uint8Array {
  return new Uint8Array(Buffer.from(base64, 'base64'));
}

function hexOf(bytes: Uint8Array): string {
  return `\\x${Buffer.from(bytes).toString('hex')}`;
}
