/**
 * Hashes of a log's tree as tiles, 256 wide: a tile is written once, when its last hash is there,
 * with the root over it. The right edge has no rows of its own: the leaf hashes since the last tile
 * stand with the entries, and the roots of a level's tiles are the hashes of the level above.
 */
import { hash } from 'node:crypto';
import {
  HASH_BYTES,
  type NodeId,
  TILE_LEVELS,
  TILE_WIDTH,
  type TileId,
  type TreeNode,
  treeHasher,
  treeRoot,
  underNode,
} from '#libs/ledger';
import type { Tx } from './tx.js';

/** Of the processor, some five times as fast as the one for browsers. */
export const hasher = treeHasher((bytes) => hash('sha256', bytes, 'buffer'));

/** Writes the tiles that these nodes complete; their hashes are in the database. */
export async function storeFullTiles(
  tx: Tx,
  logId: string,
  nodes: readonly TreeNode[],
): Promise<void> {
  for (const node of nodes) {
    if (node.level === 0 || node.level % TILE_LEVELS !== 0) continue;
    const level = node.level / TILE_LEVELS - 1;
    // Hashes that are not all there make NULL, which the column refuses.
    await tx.write(
      `INSERT INTO log_tile (log_id, level, index, hashes, root)
       SELECT $1, $2, $3, CASE WHEN count(*) = ${TILE_WIDTH} THEN ${HASHES_OF[level === 0 ? 'leaves' : 'tiles']}`,
      [logId, level, node.index, Buffer.from(node.hash)],
      ['entry', 'log_tile'],
    );
  }
}

const HASHES_OF = {
  leaves: `string_agg(leaf_hash, '' ORDER BY seq) END, $4 FROM entry
    WHERE log_id = $1 AND seq >= $3::bigint * ${TILE_WIDTH} AND seq < ($3::bigint + 1) * ${TILE_WIDTH}`,
  tiles: `string_agg(root, '' ORDER BY index) END, $4 FROM log_tile
    WHERE log_id = $1 AND level = $2::int - 1
      AND index >= $3::bigint * ${TILE_WIDTH} AND index < ($3::bigint + 1) * ${TILE_WIDTH}`,
};

/**
 * The first hashes of each tile as far as they are stored, in the order asked; at most 256 each.
 * A tile that is not full yet is read from what stands below it.
 */
export async function readTiles(
  tx: Tx,
  logId: string,
  tiles: readonly TileId[],
): Promise<Uint8Array[][]> {
  if (tiles.length === 0) return [];
  const full = await tx.query<{ level: number; index: number; hashes: Buffer }>(
    `SELECT t.level, t.index, t.hashes FROM log_tile t
     JOIN unnest($2::int[], $3::bigint[]) AS wanted(level, index)
       ON t.level = wanted.level AND t.index = wanted.index
     WHERE t.log_id = $1`,
    [logId, tiles.map((tile) => tile.level), tiles.map((tile) => tile.index)],
    ['log_tile'],
  );
  const found = new Map(full.map((tile) => [tileKey(tile), split(tile.hashes)]));
  return Promise.all(
    tiles.map(async (tile) => found.get(tileKey(tile)) ?? (await readEdge(tx, logId, tile))),
  );
}

/** The tile that grows: at most one a level. */
async function readEdge(tx: Tx, logId: string, { level, index }: TileId): Promise<Uint8Array[]> {
  const range = [logId, index * TILE_WIDTH, (index + 1) * TILE_WIDTH];
  const rows =
    level === 0
      ? await tx.query<{ hash: Buffer }>(
          `SELECT leaf_hash AS hash FROM entry
           WHERE log_id = $1 AND seq >= $2 AND seq < $3 ORDER BY seq`,
          range,
          ['entry'],
        )
      : await tx.query<{ hash: Buffer }>(
          `SELECT root AS hash FROM log_tile
           WHERE log_id = $1 AND index >= $2 AND index < $3 AND level = $4 ORDER BY index`,
          [...range, level - 1],
          ['log_tile'],
        );
  return rows.map((row) => row.hash);
}

/** Hashes of nodes in the order asked. @throws Error when the log does not hold one */
export async function readNodes(
  tx: Tx,
  logId: string,
  nodes: readonly NodeId[],
): Promise<Uint8Array[]> {
  return new TileReader(tx, logId).readHashes(nodes);
}

/** Reads a log's hashes, each tile once: for the several questions of one proof. */
export class TileReader {
  readonly #tiles = new Map<string, Uint8Array[]>();

  constructor(
    private readonly tx: Tx,
    private readonly logId: string,
  ) {}

  /** @throws Error when the log does not hold one */
  async readHashes(nodes: readonly NodeId[]): Promise<Uint8Array[]> {
    const parts = nodes.map(underNode);
    const wanted = new Map(parts.map(({ tile }) => [tileKey(tile), tile]));
    for (const key of this.#tiles.keys()) wanted.delete(key);
    const read = await readTiles(this.tx, this.logId, [...wanted.values()]);
    for (const [i, key] of [...wanted.keys()].entries()) this.#tiles.set(key, read[i]!);
    return parts.map(({ tile, begin, end }, i) => {
      const hashes = this.#tiles.get(tileKey(tile))!.slice(begin, end);
      if (hashes.length !== end - begin) {
        const { level, index } = nodes[i]!;
        throw new Error(`log ${this.logId} lacks node ${level}/${index}`);
      }
      return treeRoot(hashes, hasher);
    });
  }
}

function tileKey({ level, index }: TileId): string {
  return `${level}/${index}`;
}

function split(hashes: Buffer): Uint8Array[] {
  return Array.from({ length: hashes.length / HASH_BYTES }, (_, i) =>
    hashes.subarray(i * HASH_BYTES, (i + 1) * HASH_BYTES),
  );
}
