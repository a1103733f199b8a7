/** Which hashes of which tile a node of the tree is the root of. Source: C2SP tlog-tiles. */
import { TILE_LEVELS, TILE_WIDTH, type Tile } from './tiles.js';
import type { NodeId } from './tree.js';

/** Level 0 holds leaf hashes; a hash of level n is the root over a full tile of level n - 1. */
export type TileId = Pick<Tile, 'level' | 'index'>;

/** The hashes of one tile, from `begin` up to `end`, that a node is the root of. */
export interface TilePart {
  tile: TileId;
  begin: number;
  end: number;
}

export function underNode({ level, index }: NodeId): TilePart {
  const span = 2 ** (level % TILE_LEVELS);
  const first = index * span;
  const begin = first % TILE_WIDTH;
  return {
    tile: { level: Math.floor(level / TILE_LEVELS), index: Math.floor(first / TILE_WIDTH) },
    begin,
    end: begin + span,
  };
}

/** How many hashes a tile has in a tree of `size` leaves: 0 to 256. */
export function tileWidth({ level, index }: TileId, size: number): number {
  const hashes = Math.floor(size / TILE_WIDTH ** level);
  return Math.min(TILE_WIDTH, Math.max(0, hashes - index * TILE_WIDTH));
}
