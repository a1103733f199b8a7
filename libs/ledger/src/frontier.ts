/**
 * The right edge of a growing tree: all that is needed to append and to know the root.
 *
 * Shape: one hash for each set bit of `size`, largest subtree (leftmost) first. Appending costs one
 * leaf and on average one node hash; a log of 2^40 entries keeps at most 40 hashes.
 * Source: RFC 9162 section 2.1.2 describes the same stack.
 */

import { type TreeHasher, treeHasher } from './hash.js';
import { foldSubtrees, type NodeId, TreeError } from './tree.js';

export interface TreeNode extends NodeId {
  hash: Uint8Array;
}

export class Frontier {
  private readonly stack: Uint8Array[];
  private leaves: number;

  /**
   * @param hashes complete subtrees of the first `size` leaves, largest first (`frontierNodes`)
   * @throws TreeError when their number does not fit the size
   */
  constructor(
    private readonly hasher: TreeHasher = treeHasher(),
    size = 0,
    hashes: readonly Uint8Array[] = [],
  ) {
    const expected = bitsSet(size);
    if (hashes.length !== expected) {
      throw new TreeError(
        `${size} leaves have ${expected} complete subtrees, got ${hashes.length}`,
      );
    }
    this.leaves = size;
    this.stack = [...hashes];
  }

  get size(): number {
    return this.leaves;
  }

  /** Complete subtrees, largest first. */
  get hashes(): readonly Uint8Array[] {
    return this.stack;
  }

  /**
   * Adds one leaf.
   * @param onNode called with every subtree that became complete, the leaf itself first: what a
   * store must keep so that a `HashReader` can answer
   */
  append(leafHash: Uint8Array, onNode?: (node: TreeNode) => void): void {
    let hash = leafHash;
    let level = 0;
    let index = this.leaves;
    onNode?.({ level, index, hash });
    while (index % 2 === 1) {
      hash = this.hasher.node(this.stack.pop()!, hash);
      index = (index - 1) / 2;
      level += 1;
      onNode?.({ level, index, hash });
    }
    this.stack.push(hash);
    this.leaves += 1;
  }

  root(): Uint8Array {
    return this.leaves === 0 ? this.hasher.empty() : foldSubtrees(this.stack, this.hasher);
  }
}

function bitsSet(size: number): number {
  if (!Number.isSafeInteger(size) || size < 0)
    throw new TreeError(`${size} is no number of leaves`);
  let count = 0;
  for (let rest = size; rest > 0; rest = Math.floor(rest / 2)) count += rest % 2;
  return count;
}

/** The nodes whose hashes make the frontier of a tree of `size` leaves, largest first. */
export function frontierNodes(size: number): NodeId[] {
  if (!Number.isSafeInteger(size) || size < 0)
    throw new TreeError(`${size} is no number of leaves`);
  const nodes: NodeId[] = [];
  let before = 0;
  let level = Math.floor(Math.log2(Math.max(1, size))) + 1;
  for (let span = 2 ** level; level >= 0; level -= 1, span /= 2) {
    if (size - before >= span) {
      nodes.push({ level, index: before / span });
      before += span;
    }
  }
  return nodes;
}
