import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { jest } from '@jest/globals';
import fc from 'fast-check';
import { bytesOfHex, hexOf } from './bytes.js';
import { Frontier, frontierNodes, type TreeNode } from './frontier.js';
import { leafHash, nodeHash, type Sha256, sha256, treeHasher } from './hash.js';
import { type TreeHead, verifyConsistency, verifyInclusion } from './proof.js';
import { consistencyProof, type HashReader, inclusionProof, rootFrom } from './tree.js';

// Many runs of a property, perhaps beside other suites on the same cores.
jest.setTimeout(120_000);

// Source: RFC 6962 / RFC 9162 section 2.1; leaves, roots and the rows marked published are the
// certificate-transparency reference vectors (Apache-2.0). See fixtures/README.md.
const VECTORS = JSON.parse(
  readFileSync(new URL('../../../fixtures/standards/rfc6962.json', import.meta.url), 'utf8'),
) as {
  emptyRoot: string;
  leavesHex: string[];
  leafHashes: string[];
  rootsBySize: string[];
  inclusion: {
    leafIndex: number;
    treeSize: number;
    leafHash: string;
    root: string;
    proof: string[];
  }[];
  consistency: { size1: number; size2: number; root1: string; root2: string; proof: string[] }[];
  negatives: {
    inclusionRejected: Record<string, number>;
    inclusionStillVerifies: Record<string, number>;
    consistencyRejected: Record<string, number>;
  };
  sizeNotBound: { leafIndex: number; realSize: number; claimedSize: number }[];
};
const INCLUSION = VECTORS.inclusion.map((row) => ({ ...row, hashes: row.proof.map(hex) }));
const CONSISTENCY = VECTORS.consistency.map((row) => ({ ...row, hashes: row.proof.map(hex) }));
const nodeSha256: Sha256 = (bytes) => createHash('sha256').update(bytes).digest();

describe.each([
  ['the pure hash', sha256],
  ["Node's hash", nodeSha256],
])('a tree with %s', (_name, hash) => {
  it('matches the published leaf hashes', () => {
    expect(VECTORS.leavesHex.map((leaf) => hexOf(leafHash(hex(leaf), hash)))).toEqual(
      VECTORS.leafHashes,
    );
  });

  it('matches the published root of every size, appending', () => {
    const frontier = new Frontier(treeHasher(hash));
    const roots = [hexOf(frontier.root())];
    for (const leaf of VECTORS.leafHashes) {
      frontier.append(hex(leaf));
      roots.push(hexOf(frontier.root()));
    }
    expect(roots).toEqual(VECTORS.rootsBySize);
    expect(roots[0]).toBe(VECTORS.emptyRoot);
  });
});

describe('inclusionProof', () => {
  it.each(INCLUSION)('gives the published path of leaf $leafIndex of $treeSize', async (row) => {
    const proof = await inclusionProof(reader(8), row.leafIndex, row.treeSize);
    expect(proof.map(hexOf)).toEqual(row.proof);
  });

  it.each([
    [8, 8],
    [-1, 8],
    [0, 0],
    [1.5, 8],
    [0, 2 ** 53],
  ])('refuses leaf %p of %p', async (index, size) => {
    await expect(inclusionProof(reader(8), index, size)).rejects.toMatchObject({
      name: 'TreeError',
    });
  });
});

describe('verifyInclusion', () => {
  it.each(INCLUSION)('accepts the published path of leaf $leafIndex of $treeSize', (row) => {
    expect(
      verifyInclusion(hex(row.leafHash), row.leafIndex, headOf(row.treeSize), row.hashes),
    ).toBe(true);
  });

  // The kinds and numbers of mutations are those of the fixture: each kind must refuse exactly as many.
  it('refuses every mutation the fixture counts', () => {
    const rejected: Record<string, number> = {};
    let stillVerifies = 0;
    const check = (kind: string, isAccepted: boolean) => {
      if (isAccepted) stillVerifies += 1;
      else rejected[kind] = (rejected[kind] ?? 0) + 1;
    };
    for (const row of INCLUSION) {
      const leaf = hex(row.leafHash);
      const root = hex(row.root);
      const verify = (over: {
        leaf?: Uint8Array;
        index?: number;
        head?: Partial<TreeHead>;
        proof?: Uint8Array[];
      }) =>
        verifyInclusion(
          over.leaf ?? leaf,
          over.index ?? row.leafIndex,
          { size: row.treeSize, root, ...over.head },
          over.proof ?? row.hashes,
        );
      for (const past of [0, 1]) check('index >= size', verify({ index: row.treeSize + past }));
      for (let size = 1; size <= 16; size++) {
        if (size !== row.treeSize) check('wrong size', verify({ head: { size } }));
      }
      for (const proof of insertions(row.hashes, root))
        check('extra node (root inserted)', verify({ proof }));
      check('wrong leaf', verify({ leaf: hex(VECTORS.emptyRoot) }));
      check('empty-tree root', verify({ head: { root: hex(VECTORS.emptyRoot) } }));
      for (let index = 0; index < row.treeSize; index++) {
        if (index !== row.leafIndex) check('wrong index in range', verify({ index }));
      }
      for (const proof of deletions(row.hashes)) check('missing node', verify({ proof }));
      for (const proof of flips(row.hashes)) check('flipped bit', verify({ proof }));
    }
    expect(rejected).toEqual(VECTORS.negatives.inclusionRejected);
    expect(stillVerifies).toBe(VECTORS.negatives.inclusionStillVerifies['wrong size']);
  });

  // Not a bug but the reason why the size must come from the signed checkpoint.
  it.each(VECTORS.sizeNotBound)(
    'cannot tell size $realSize from $claimedSize by the path of leaf $leafIndex',
    ({ leafIndex, realSize, claimedSize }) => {
      const row = INCLUSION.find(
        (one) => one.leafIndex === leafIndex && one.treeSize === realSize,
      )!;
      const head = { size: claimedSize, root: hex(row.root) };
      expect(verifyInclusion(hex(row.leafHash), leafIndex, head, row.hashes)).toBe(true);
    },
  );

  it('refuses hashes that are not 32 bytes long', () => {
    const row = INCLUSION.at(-1)!;
    const proof = row.hashes.map((hash) => hash.subarray(1));
    expect(verifyInclusion(hex(row.leafHash), row.leafIndex, headOf(row.treeSize), proof)).toBe(
      false,
    );
  });
});

describe('consistencyProof', () => {
  it.each(CONSISTENCY)('gives the published proof from $size1 to $size2', async (row) => {
    const proof = await consistencyProof(reader(8), row.size1, row.size2);
    expect(proof.map(hexOf)).toEqual(row.proof);
  });

  it('refuses to go backwards', async () => {
    await expect(consistencyProof(reader(8), 5, 4)).rejects.toThrow('beginning of 5');
  });
});

describe('verifyConsistency', () => {
  it.each(CONSISTENCY)('accepts the published proof from $size1 to $size2', (row) => {
    expect(verifyConsistency(headOf(row.size1), headOf(row.size2), row.hashes)).toBe(true);
  });

  it('refuses every mutation the fixture counts', () => {
    const rejected: Record<string, number> = {};
    const check = (kind: string, isAccepted: boolean) => {
      if (!isAccepted) rejected[kind] = (rejected[kind] ?? 0) + 1;
    };
    const wrong = hex(VECTORS.emptyRoot);
    for (const row of CONSISTENCY) {
      const [first, second] = [headOf(row.size1), headOf(row.size2)];
      for (const proof of insertions(row.hashes, second.root)) {
        check('extra node (root2 inserted)', verifyConsistency(first, second, proof));
      }
      check('wrong root1', verifyConsistency({ ...first, root: wrong }, second, row.hashes));
      check('wrong root2', verifyConsistency(first, { ...second, root: wrong }, row.hashes));
      for (const proof of flips(row.hashes))
        check('flipped bit', verifyConsistency(first, second, proof));
      for (const proof of deletions(row.hashes))
        check('missing node', verifyConsistency(first, second, proof));
      if (row.size1 !== row.size2) {
        const swapped = [
          { size: row.size1, root: second.root },
          { size: row.size2, root: first.root },
        ] as const;
        check('swapped roots', verifyConsistency(swapped[0], swapped[1], row.hashes));
      }
    }
    expect(rejected).toEqual(VECTORS.negatives.consistencyRejected);
  });

  it('lets every log grow from nothing, and nothing else be called nothing', () => {
    expect(verifyConsistency(headOf(0), headOf(5), [])).toBe(true);
    expect(verifyConsistency({ size: 0, root: headOf(1).root }, headOf(5), [])).toBe(false);
    expect(verifyConsistency(headOf(5), headOf(0), [])).toBe(false);
  });
});

describe('larger trees', () => {
  const SIZE = 300;
  const big = bigTree(SIZE);

  it('proves every leaf and every step of a growing log', async () => {
    await fc.assert(
      fc.asyncProperty(fc.nat(SIZE), fc.nat(SIZE), fc.nat(SIZE - 1), async (a, b, leaf) => {
        const [first, second] = a < b ? [a, b] : [b, a];
        const heads = [big.heads[first]!, big.heads[second]!] as const;
        const consistency = await consistencyProof(big.reader, first, second);
        expect(verifyConsistency(heads[0], heads[1], consistency)).toBe(true);
        if (leaf < second) {
          const path = await inclusionProof(big.reader, leaf, second);
          expect(verifyInclusion(big.leaves[leaf]!, leaf, heads[1], path)).toBe(true);
        }
        expect(await rootFrom(big.reader, second)).toEqual(heads[1].root);
      }),
    );
  });

  it('goes on from a stored frontier as if it had never stopped', async () => {
    await fc.assert(
      fc.asyncProperty(fc.nat(SIZE), async (size) => {
        const hashes = await big.reader.readHashes(frontierNodes(size));
        const frontier = new Frontier(treeHasher(), size, hashes);
        expect(frontier.root()).toEqual(big.heads[size]!.root);
        for (const leaf of big.leaves.slice(size)) frontier.append(leaf);
        expect(frontier.root()).toEqual(big.heads[SIZE]!.root);
      }),
    );
  });

  it('places nodes beyond 32 bits exactly', () => {
    const size = 2 ** 45 + 2 ** 33 + 5;
    expect(frontierNodes(size)).toEqual([
      { level: 45, index: 0 },
      { level: 33, index: 2 ** 12 },
      { level: 2, index: (2 ** 45 + 2 ** 33) / 4 },
      { level: 0, index: 2 ** 45 + 2 ** 33 + 4 },
    ]);
  });
});

function hex(text: string): Uint8Array {
  return bytesOfHex(text)!;
}

function headOf(size: number): TreeHead {
  return { size, root: hex(VECTORS.rootsBySize[size]!) };
}

/** Complete subtrees by plain recursion over the published leaves, not by the code under test. */
function reader(size: number): HashReader {
  const hashOf = (level: number, index: number): Uint8Array => {
    if ((index + 1) * 2 ** level > size) throw new Error(`no node ${level}/${index}`);
    return level === 0
      ? hex(VECTORS.leafHashes[index]!)
      : nodeHash(hashOf(level - 1, 2 * index), hashOf(level - 1, 2 * index + 1));
  };
  return {
    readHashes: (nodes) => Promise.resolve(nodes.map(({ level, index }) => hashOf(level, index))),
  };
}

function bigTree(size: number) {
  const nodes = new Map<string, Uint8Array>();
  const frontier = new Frontier();
  const leaves: Uint8Array[] = [];
  const heads: TreeHead[] = [{ size: 0, root: frontier.root() }];
  const keep = ({ level, index, hash }: TreeNode) => nodes.set(`${level}/${index}`, hash);
  for (let i = 0; i < size; i++) {
    const leaf = leafHash(new TextEncoder().encode(`entry ${i}`));
    leaves.push(leaf);
    frontier.append(leaf, keep);
    heads.push({ size: i + 1, root: frontier.root() });
  }
  const read: HashReader = {
    readHashes: (ids) =>
      Promise.resolve(ids.map(({ level, index }) => nodes.get(`${level}/${index}`)!)),
  };
  return { leaves, heads, reader: read };
}

function insertions(proof: readonly Uint8Array[], extra: Uint8Array): Uint8Array[][] {
  return Array.from({ length: proof.length + 1 }, (_, at) => [
    ...proof.slice(0, at),
    extra,
    ...proof.slice(at),
  ]);
}

function deletions(proof: readonly Uint8Array[]): Uint8Array[][] {
  return proof.map((_, at) => proof.filter((_hash, other) => other !== at));
}

function flips(proof: readonly Uint8Array[]): Uint8Array[][] {
  return proof.map((hash, at) => {
    const flipped = hash.slice();
    flipped[0]! ^= 0x08;
    return proof.map((other, i) => (i === at ? flipped : other));
  });
}
