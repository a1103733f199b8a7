/**
 * The head of a log: how far it grew and what is needed to append. The row of `log` is locked for
 * the length of the transaction, so several servers take turns.
 */
import { Frontier, frontierNodes, signCheckpoint, type TreeNode } from '#libs/ledger';
import { hasher, readNodes } from './log-tiles.js';
import type { RowTarget } from './row-insert.js';
import type { ArchiveSigner } from './signer.js';
import type { Tx } from './tx.js';

export const STUDIO_LOG = 'studio';

export interface LogHead {
  readonly logId: string;
  readonly origin: string;
  readonly siteId: string | null;
  readonly size: number;
  readonly rootHash: Uint8Array;
  readonly hashes: readonly Uint8Array[];
  readonly lastAt: Date;
  /** fingerprint of the key that signed the head, null before the first */
  readonly signingKey: string | null;
}

type LogRow = Omit<LogHead, 'hashes' | 'rootHash'> & { rootHash: Buffer };

/**
 * Locks the log until the transaction ends; undefined when there is none yet.
 * @param known the head as this process left it: spares reading the tree when nobody else wrote
 */
export async function lockHead(
  tx: Tx,
  logId: string,
  known?: LogHead,
): Promise<LogHead | undefined> {
  const row = await tx.first<LogRow>(
    'SELECT log_id, origin, site_id, size, root_hash, last_at, signing_key FROM log WHERE log_id = $1 FOR UPDATE',
    [logId],
    [],
  );
  if (row === undefined) return undefined;
  const isKnown = known?.size === row.size && row.rootHash.equals(known.rootHash);
  return {
    ...row,
    rootHash: new Uint8Array(row.rootHash),
    hashes: isKnown ? known.hashes : await readNodes(tx, logId, frontierNodes(row.size)),
  };
}

export async function openLog(
  tx: Tx,
  log: { logId: string; origin: string; siteId: string | null; at: Date },
): Promise<LogHead> {
  await tx.run(
    `INSERT INTO log (log_id, origin, site_id, size, root_hash, last_at)
     VALUES ($1, $2, $3, 0, $4, $5) ON CONFLICT (log_id) DO NOTHING`,
    [log.logId, log.origin, log.siteId, Buffer.from(new Frontier().root()), log.at],
    ['log'],
  );
  return (await lockHead(tx, log.logId))!;
}

/**
 * The head after one more leaf, and the nodes that became complete. The given head is unchanged; its
 * root is that of the size before until `storeHead`.
 */
export function appended(
  head: LogHead,
  leafHash: Uint8Array,
  at: Date,
): { head: LogHead; nodes: TreeNode[] } {
  const frontier = new Frontier(hasher, head.size, head.hashes);
  const nodes: TreeNode[] = [];
  frontier.append(leafHash, (node) => nodes.push(node));
  return {
    head: { ...head, size: head.size + 1, hashes: [...frontier.hashes], lastAt: at },
    nodes,
  };
}

export interface SignedHead extends LogHead {
  readonly note: string;
}

const CHECKPOINTS: RowTarget = {
  table: 'checkpoint',
  key: ['logId', 'size'],
  json: [],
  whenThere: 'fail',
};

/** Writes the new head and its signed checkpoint. */
export async function storeHead(
  tx: Tx,
  head: LogHead,
  signer: ArchiveSigner,
  now: Date,
): Promise<SignedHead> {
  const { logId, size, hashes, lastAt } = head;
  const rootHash = new Frontier(hasher, size, hashes).root();
  const note = await signCheckpoint({ origin: head.origin, size, root: rootHash }, signer);
  await tx.write(
    'UPDATE log SET size = $2, root_hash = $3, last_at = $4, signing_key = $5 WHERE log_id = $1',
    [logId, size, Buffer.from(rootHash), lastAt, signer.fingerprint],
    ['log'],
  );
  await tx.put(CHECKPOINTS, { logId, size, note, signedAt: now });
  return { ...head, rootHash, note };
}
