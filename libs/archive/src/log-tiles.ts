/**
 * Hashes of a log's tree as tiles, 256 wide: a tile is written once, when its last hash is there,
 * with the root over it. The right edge has no rows of its own: the leaf hashes since the last tile
 * stand with the entries, and the roots of a level's tiles are the hashes of the level above.
 */
import {
  type NodeId,
  TILE_LEVELS,
  TILE_WIDTH,
  type TileId,
  type TreeNode,
  underNode,
} from '#libs/ledger';
import { KnownTile } from './known-tile.js';
import { RecentCache } from './recent-cache.js';
import type { Tx } from './tx.js';

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
 * The first hashes of each tile as far as they are stored, one after the other, in the order asked;
 * at most 256 each. A tile that is not full yet is read from what stands below it.
 */
export async function readTiles(
  tx: Tx,
  logId: string,
  tiles: readonly TileId[],
): Promise<Buffer[]> {
  if (tiles.length === 0) return [];
  const full = await tx.query<{ level: number; index: number; hashes: Buffer }>(
    `SELECT t.level, t.index, t.hashes FROM log_tile t
     JOIN unnest($2::int[], $3::bigint[]) AS wanted(level, index)
       ON t.level = wanted.level AND t.index = wanted.index
     WHERE t.log_id = $1`,
    [logId, tiles.map((tile) => tile.level), tiles.map((tile) => tile.index)],
    ['log_tile'],
  );
  const found = new Map(full.map((tile) => [tileKey(tile), tile.hashes]));
  return Promise.all(
    tiles.map(async (tile) => found.get(tileKey(tile)) ?? (await readEdge(tx, logId, tile))),
  );
}

/** The tile that grows: at most one a level. */
async function readEdge(tx: Tx, logId: string, { level, index }: TileId): Promise<Buffer> {
  const range = [logId, index * TILE_WIDTH, (index + 1) * TILE_WIDTH];
  const row =
    level === 0
      ? await tx.first<{ hashes: Buffer | null }>(
          `SELECT string_agg(leaf_hash, '' ORDER BY seq) AS hashes FROM entry
           WHERE log_id = $1 AND seq >= $2 AND seq < $3`,
          range,
          ['entry'],
        )
      : await tx.first<{ hashes: Buffer | null }>(
          `SELECT string_agg(root, '' ORDER BY index) AS hashes FROM log_tile
           WHERE log_id = $1 AND index >= $2 AND index < $3 AND level = $4`,
          [...range, level - 1],
          ['log_tile'],
        );
  return row?.hashes ?? Buffer.alloc(0);
}

/** Hashes of nodes in the order asked. @throws Error when the log does not hold one */
export async function readNodes(
  tx: Tx,
  logId: string,
  nodes: readonly NodeId[],
): Promise<Uint8Array[]> {
  return new TileReader(tx, logId).readHashes(nodes);
}

/** So many tiles with the roots in them are 16 MB. */
const TILES_KEPT = 1000;

/**
 * Tiles read lately, of any log. A log only grows, so what a tile began with holds for ever: what is
 * remembered is never asked anew, only what lies beyond it.
 */
export class TileMemory {
  readonly #tiles = new RecentCache<KnownTile>(TILES_KEPT);

  get(logId: string, tile: TileId): KnownTile | undefined {
    return this.#tiles.get(`${logId}/${tileKey(tile)}`);
  }

  set(logId: string, tile: TileId, hashes: Buffer): KnownTile {
    const known = new KnownTile(hashes);
    this.#tiles.set(`${logId}/${tileKey(tile)}`, known);
    return known;
  }
}

/** Reads a log's hashes, each tile once: for the several questions of one proof, or of many. */
export class TileReader {
  constructor(
    private readonly tx: Tx,
    private readonly logId: string,
    private readonly memory = new TileMemory(),
  ) {}

  /** @throws Error when the log does not hold one */
  async readHashes(nodes: readonly NodeId[]): Promise<Uint8Array[]> {
    const parts = nodes.map(underNode);
    const roots = parts.map((part) => this.memory.get(this.logId, part.tile)?.root(part));
    const wanted = new Map(
      parts.filter((_, i) => roots[i] === undefined).map(({ tile }) => [tileKey(tile), tile]),
    );
    const tiles = [...wanted.values()];
    const read = new Map(
      (await readTiles(this.tx, this.logId, tiles)).map((hashes, i) => [
        tileKey(tiles[i]!),
        this.memory.set(this.logId, tiles[i]!, hashes),
      ]),
    );
    return parts.map((part, i) => {
      const root = roots[i] ?? read.get(tileKey(part.tile))!.root(part);
      if (root !== undefined) return root;
      const { level, index } = nodes[i]!;
      throw new Error(`log ${this.logId} lacks node ${level}/${index}`);
    });
  }
}

function tileKey({ level, index }: TileId): string {
  return `${level}/${index}`;
}
