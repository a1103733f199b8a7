/**
 * A log as files: checkpoint, tiles of hashes, bundles of entries.
 *
 * A tile of level l and number n holds the hashes of the nodes (8·l, 256·n + i), i from 0 to 255; the
 * rightmost of a level may be partial. A bundle holds the entries under a tile of level 0, each
 * after its length (16 bits, big-endian).
 * Source: C2SP tlog-tiles.
 */

import { HASH_BYTES } from './hash.js';
import type { NodeId } from './tree.js';

/** Hashes of a full tile. */
export const TILE_WIDTH = 256;
/** Levels of the tree that one tile stands for. */
export const TILE_LEVELS = 8;
const ENTRY_BYTES_MOST = 0xffff;
const LEVEL_MOST = 63;

export interface Tile {
  level: number;
  index: number;
  /** 1 to 256; less than 256 for a partial tile */
  width: number;
}

/** Tiles of hashes of a tree, level by level, complete ones first. */
export function* tilesOf(size: number): Generator<Tile> {
  let hashes = size;
  for (let level = 0; hashes > 0; level++) {
    const full = Math.floor(hashes / TILE_WIDTH);
    for (let index = 0; index < full; index++) yield { level, index, width: TILE_WIDTH };
    const rest = hashes % TILE_WIDTH;
    if (rest > 0) yield { level, index: full, width: rest };
    hashes = full;
  }
}

/** Path below the log's folder, e.g. `tile/0/x001/234.p/112`. */
export function tilePath({ level, index, width }: Tile): string {
  return `tile/${level}/${numberPath(index)}${partOf(width)}`;
}

/** Path of the bundle of entries under the tile of level 0 with this number. */
export function bundlePath({ index, width }: Pick<Tile, 'index' | 'width'>): string {
  return `tile/entries/${numberPath(index)}${partOf(width)}`;
}

/** The node whose hash stands at place `at` of a tile. */
export function nodeInTile({ level, index }: Pick<Tile, 'level' | 'index'>, at: number): NodeId {
  return { level: TILE_LEVELS * level, index: TILE_WIDTH * index + at };
}

/** The hashes of a tile one after the other. @returns undefined unless there are `width` of 32 bytes */
export function hashesInTile(bytes: Uint8Array, width: number): Uint8Array[] | undefined {
  if (bytes.length !== width * HASH_BYTES) return undefined;
  return Array.from({ length: width }, (_, at) =>
    bytes.subarray(at * HASH_BYTES, (at + 1) * HASH_BYTES),
  );
}

/** @throws Error for an entry of more than 65,535 bytes, which the form cannot hold */
export function bundleBytes(entries: readonly Uint8Array[]): Uint8Array {
  const whole = new Uint8Array(entries.reduce((sum, entry) => sum + 2 + entry.length, 0));
  let at = 0;
  for (const entry of entries) {
    if (entry.length > ENTRY_BYTES_MOST)
      throw new Error(`a bundle holds entries of up to 65,535 bytes, this has ${entry.length}`);
    whole[at] = entry.length >> 8;
    whole[at + 1] = entry.length & 0xff;
    whole.set(entry, at + 2);
    at += 2 + entry.length;
  }
  return whole;
}

/** The entries of a bundle. @returns undefined when it is cut off or holds more */
export function entriesInBundle(bytes: Uint8Array, width: number): Uint8Array[] | undefined {
  const entries: Uint8Array[] = [];
  let at = 0;
  while (entries.length < width) {
    if (at + 2 > bytes.length) return undefined;
    const end = at + 2 + ((bytes[at]! << 8) | bytes[at + 1]!);
    if (end > bytes.length) return undefined;
    entries.push(bytes.subarray(at + 2, end));
    at = end;
  }
  return at === bytes.length ? entries : undefined;
}

/** Groups of three digits, all but the last after an x: 1234067 is `x001/x234/067`. */
function numberPath(index: number): string {
  const digits = String(index);
  const groups = digits.padStart(Math.ceil(digits.length / 3) * 3, '0').match(/.{3}/g)!;
  return groups.map((group, at) => (at < groups.length - 1 ? `x${group}` : group)).join('/');
}

function partOf(width: number): string {
  return width === TILE_WIDTH ? '' : `.p/${width}`;
}

/** What a path below `tile/` names: a tile of hashes, or with level null a bundle of entries. */
export interface TileName {
  level: number | null;
  index: number;
  width: number;
}

/** @returns undefined for a path that C2SP tlog-tiles does not know */
export function parseTilePath(path: string): TileName | undefined {
  const found = /^(entries|0|[1-9]\d?)\/((?:x\d{3}\/){0,4}\d{3})(?:\.p\/([1-9]\d{0,2}))?$/.exec(
    path,
  );
  if (found === null) return undefined;
  const [, first, number, part] = found;
  const index = Number(number!.replace(/[x/]/g, ''));
  const width = part === undefined ? TILE_WIDTH : Number(part);
  const level = first === 'entries' ? null : Number(first);
  // one path a tile: no groups of zeros in front, no full tile as a partial one
  const isPlain = numberPath(index) === number && (part === undefined || width < TILE_WIDTH);
  return isPlain && (level ?? 0) <= LEVEL_MOST ? { level, index, width } : undefined;
}
