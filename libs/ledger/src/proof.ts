/**
 * Checking proofs against a root.
 *
 * A wrong tree size is not always detected by an inclusion proof (two trees can give the leaf the
 * same path): size and root must come from one signed checkpoint.
 */

import { bytesEqual } from './bytes.js';
import { HASH_BYTES, type TreeHasher, treeHasher } from './hash.js';

/** What a signed checkpoint says of a tree. */
export interface TreeHead {
  size: number;
  root: Uint8Array;
}

/** Source: RFC 9162 section 2.1.3.2, steps 1 to 5. */
export function verifyInclusion(
  leafHash: Uint8Array,
  index: number,
  head: TreeHead,
  proof: readonly Uint8Array[],
  hasher: TreeHasher = treeHasher(),
): boolean {
  if (!isCount(index) || !isCount(head.size) || index >= head.size) return false;
  if (!areHashes([leafHash, ...proof])) return false;
  let fn = index;
  let sn = head.size - 1;
  let r = leafHash;
  for (const p of proof) {
    if (sn === 0) return false;
    if (fn % 2 === 1 || fn === sn) {
      r = hasher.node(p, r);
      while (fn % 2 === 0 && fn !== 0) {
        fn = half(fn);
        sn = half(sn);
      }
    } else {
      r = hasher.node(r, p);
    }
    fn = half(fn);
    sn = half(sn);
  }
  return sn === 0 && bytesEqual(r, head.root);
}

/**
 * Whether the tree of `first` is the beginning of the tree of `second`.
 * Source: RFC 9162 section 2.1.4.2. Sizes 0 and equal sizes, which the RFC leaves out, take an empty
 * proof and need the root of the empty tree or equal roots.
 */
export function verifyConsistency(
  first: TreeHead,
  second: TreeHead,
  proof: readonly Uint8Array[],
  hasher: TreeHasher = treeHasher(),
): boolean {
  if (!isCount(first.size) || !isCount(second.size) || first.size > second.size) return false;
  if (!areHashes([first.root, second.root, ...proof])) return false;
  if (first.size === second.size) return proof.length === 0 && bytesEqual(first.root, second.root);
  if (first.size === 0) return proof.length === 0 && bytesEqual(first.root, hasher.empty());
  if (proof.length === 0) return false;
  const path = isPowerOf2(first.size) ? [first.root, ...proof] : [...proof];
  let fn = first.size - 1;
  let sn = second.size - 1;
  while (fn % 2 === 1) {
    fn = half(fn);
    sn = half(sn);
  }
  let fr = path[0]!;
  let sr = path[0]!;
  for (const c of path.slice(1)) {
    if (sn === 0) return false;
    if (fn % 2 === 1 || fn === sn) {
      fr = hasher.node(c, fr);
      sr = hasher.node(c, sr);
      while (fn % 2 === 0 && fn !== 0) {
        fn = half(fn);
        sn = half(sn);
      }
    } else {
      sr = hasher.node(sr, c);
    }
    fn = half(fn);
    sn = half(sn);
  }
  return sn === 0 && bytesEqual(fr, first.root) && bytesEqual(sr, second.root);
}

function half(n: number): number {
  return Math.floor(n / 2);
}

function isPowerOf2(n: number): boolean {
  let k = 1;
  while (k < n) k *= 2;
  return k === n;
}

function isCount(n: number): boolean {
  return Number.isSafeInteger(n) && n >= 0;
}

function areHashes(hashes: readonly Uint8Array[]): boolean {
  return hashes.every((hash) => hash.length === HASH_BYTES);
}
