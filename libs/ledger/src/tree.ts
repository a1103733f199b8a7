/**
 * The log's Merkle tree: where its nodes are, and which of them a proof needs.
 *
 * A stored node is the hash of a complete subtree: (level, index) covers the leaves
 * [index · 2^level, (index + 1) · 2^level). Sizes and indices are whole numbers up to 2^53, so all
 * arithmetic here is by division, never by 32-bit operators. 256 neighbours of one level make a
 * tile of C2SP tlog-tiles, so the same reader can stand on rows, tiles or memory.
 * Source: RFC 9162 sections 2.1.1 to 2.1.4 (proofs as in RFC 6962).
 */

import { type TreeHasher, treeHasher } from './hash.js';

export interface NodeId {
  level: number;
  index: number;
}

/** The one thing a proof needs of the world. Answers in the order asked; rejects if a node is not there. */
export interface HashReader {
  readHashes(nodes: readonly NodeId[]): Promise<readonly Uint8Array[]>;
}

export type TreeFault = 'range';

export class TreeError extends Error {
  override readonly name = 'TreeError';
  readonly fault: TreeFault = 'range';
}

/** Leaves begin … end - 1, of which `begin` is a multiple of the smallest power of 2 ≥ the count. */
interface LeafRange {
  begin: number;
  end: number;
}

/** Root over the first `size` leaves. */
export async function rootFrom(
  reader: HashReader,
  size: number,
  hasher: TreeHasher = treeHasher(),
): Promise<Uint8Array> {
  checkSize(size);
  if (size === 0) return hasher.empty();
  const [root] = await rangeHashes(reader, [{ begin: 0, end: size }], hasher);
  return root!;
}

/**
 * Audit path of leaf `index` in the tree of `size` leaves, from the leaf upwards.
 * Source: RFC 9162 section 2.1.3.1. @throws TreeError unless 0 ≤ index < size
 */
export async function inclusionProof(
  reader: HashReader,
  index: number,
  size: number,
  hasher: TreeHasher = treeHasher(),
): Promise<Uint8Array[]> {
  checkSize(size);
  if (!Number.isSafeInteger(index) || index < 0 || index >= size) {
    throw new TreeError(`no leaf ${index} in a tree of ${size} leaves`);
  }
  const ranges: LeafRange[] = [];
  let begin = 0;
  let end = size;
  while (end - begin > 1) {
    const split = begin + largestPowerOf2Below(end - begin);
    if (index < split) {
      ranges.push({ begin: split, end });
      end = split;
    } else {
      ranges.push({ begin, end: split });
      begin = split;
    }
  }
  return rangeHashes(reader, ranges.reverse(), hasher);
}

/**
 * Proof that the tree of `first` leaves is the beginning of the tree of `second` leaves; empty when
 * they are equal or `first` is 0.
 * Source: RFC 9162 section 2.1.4.1. @throws TreeError unless 0 ≤ first ≤ second
 */
export async function consistencyProof(
  reader: HashReader,
  first: number,
  second: number,
  hasher: TreeHasher = treeHasher(),
): Promise<Uint8Array[]> {
  checkSize(first);
  checkSize(second);
  if (first > second)
    throw new TreeError(`a tree of ${second} leaves has no beginning of ${first} leaves`);
  if (first === 0 || first === second) return [];
  const ranges: LeafRange[] = [];
  let begin = 0;
  let end = second;
  // SUBPROOF(m, D, b): b is false once the old tree's root is no longer known to the verifier.
  while (end !== first) {
    const split = begin + largestPowerOf2Below(end - begin);
    if (first <= split) {
      ranges.push({ begin: split, end });
      end = split;
    } else {
      ranges.push({ begin, end: split });
      begin = split;
    }
  }
  if (begin > 0) ranges.push({ begin, end });
  return rangeHashes(reader, ranges.reverse(), hasher);
}

async function rangeHashes(
  reader: HashReader,
  ranges: readonly LeafRange[],
  hasher: TreeHasher,
): Promise<Uint8Array[]> {
  const parts = ranges.map(completeSubtrees);
  const found = await reader.readHashes(parts.flat());
  let at = 0;
  return parts.map((nodes) => {
    const hashes = found.slice(at, at + nodes.length);
    at += nodes.length;
    return foldSubtrees(hashes, hasher);
  });
}

/** Complete subtrees that make up a range, from the largest (left) to the smallest. */
function completeSubtrees({ begin, end }: LeafRange): NodeId[] {
  const nodes: NodeId[] = [];
  let at = begin;
  while (at < end) {
    let level = 0;
    let span = 1;
    while (span * 2 <= end - at) {
      span *= 2;
      level += 1;
    }
    nodes.push({ level, index: at / span });
    at += span;
  }
  return nodes;
}

/** Root over neighbouring complete subtrees, largest first: the smaller ones join from the right. */
export function foldSubtrees(hashes: readonly Uint8Array[], hasher: TreeHasher): Uint8Array {
  let root = hashes.at(-1)!;
  for (let i = hashes.length - 2; i >= 0; i--) root = hasher.node(hashes[i]!, root);
  return root;
}

function largestPowerOf2Below(n: number): number {
  let k = 1;
  while (k * 2 < n) k *= 2;
  return k;
}

function checkSize(size: number): void {
  if (!Number.isSafeInteger(size) || size < 0)
    throw new TreeError(`${size} is no number of leaves`);
}
