/**
 * Head of one log while a batch is being written: size and right edge of the tree.
 *
 * The row of `log` is locked for the length of the transaction, so several servers take turns.
 */
import { Frontier, frontierNodes, signCheckpoint, type TreeNode } from '#libs/ledger';
import type { ArchiveSigner } from './signer.js';
import type { Tx } from './tx.js';

export const STUDIO_LOG = 'studio';

export interface LogHead {
  readonly logId: string;
  readonly origin: string;
  readonly siteId: string | null;
  readonly size: number;
  readonly hashes: readonly Uint8Array[];
  readonly lastAt: Date;
  /** fingerprint of the key that signed the head, null before the first */
  readonly signingKey: string | null;
}

interface LogRow {
  logId: string;
  origin: string;
  siteId: string | null;
  size: number;
  lastAt: Date;
  signingKey: string | null;
}

/** Locks the log until the transaction ends; undefined when there is none yet. */
export async function lockHead(tx: Tx, logId: string): Promise<LogHead | undefined> {
  const row = await tx.first<LogRow>(
    'SELECT log_id, origin, site_id, size, last_at, signing_key FROM log WHERE log_id = $1 FOR UPDATE',
    [logId],
  );
  if (row === undefined) return undefined;
  const nodes = frontierNodes(row.size);
  return { ...row, hashes: nodes.length === 0 ? [] : await readNodes(tx, logId, nodes) };
}

export async function openLog(
  tx: Tx,
  log: { logId: string; origin: string; siteId: string | null; at: Date },
): Promise<LogHead> {
  await tx.run(
    `INSERT INTO log (log_id, origin, site_id, size, root_hash, last_at)
     VALUES ($1, $2, $3, 0, $4, $5) ON CONFLICT (log_id) DO NOTHING`,
    [log.logId, log.origin, log.siteId, Buffer.from(new Frontier().root()), log.at],
  );
  return (await lockHead(tx, log.logId))!;
}

/** Hashes of nodes in the order asked. */
export async function readNodes(
  tx: Tx,
  logId: string,
  nodes: readonly { level: number; index: number }[],
): Promise<Uint8Array[]> {
  const rows = await tx.query<{ level: number; index: number; hash: Buffer }>(
    `SELECT n.level, n.index, n.hash FROM log_node n
     JOIN unnest($2::int[], $3::bigint[]) AS wanted(level, index)
       ON n.level = wanted.level AND n.index = wanted.index
     WHERE n.log_id = $1`,
    [logId, nodes.map((node) => node.level), nodes.map((node) => node.index)],
  );
  const found = new Map(rows.map((row) => [`${row.level}/${row.index}`, new Uint8Array(row.hash)]));
  return nodes.map(({ level, index }) => {
    const hash = found.get(`${level}/${index}`);
    if (hash === undefined) throw new Error(`log ${logId} lacks node ${level}/${index}`);
    return hash;
  });
}

/** The head after one more leaf, and the nodes that became complete. The given head is unchanged. */
export function appended(
  head: LogHead,
  leafHash: Uint8Array,
  at: Date,
): { head: LogHead; nodes: TreeNode[] } {
  const frontier = new Frontier(undefined, head.size, [...head.hashes]);
  const nodes: TreeNode[] = [];
  frontier.append(leafHash, (node) => nodes.push(node));
  return {
    head: { ...head, size: head.size + 1, hashes: [...frontier.hashes], lastAt: at },
    nodes,
  };
}

export interface SignedHead {
  readonly logId: string;
  readonly size: number;
  readonly note: string;
}

/** Writes the new head and its signed checkpoint. */
export async function storeHead(
  tx: Tx,
  head: LogHead,
  signer: ArchiveSigner,
  now: Date,
): Promise<SignedHead> {
  const root = new Frontier(undefined, head.size, [...head.hashes]).root();
  const note = await signCheckpoint({ origin: head.origin, size: head.size, root }, signer);
  await tx.run(
    'UPDATE log SET size = $2, root_hash = $3, last_at = $4, signing_key = $5 WHERE log_id = $1',
    [head.logId, head.size, Buffer.from(root), head.lastAt, signer.fingerprint],
  );
  await tx.run('INSERT INTO checkpoint (log_id, size, note, signed_at) VALUES ($1, $2, $3, $4)', [
    head.logId,
    head.size,
    note,
    now,
  ]);
  return { logId: head.logId, size: head.size, note };
}
