/**
 * The head of a log: how far it grew and what is needed to append. The row of `log` is locked for
 * the length of the transaction, so several servers take turns.
 */
import {
  entryAtPlace,
  epochLogId,
  Frontier,
  frontierNodes,
  signCheckpoint,
  type TreeNode,
} from '#libs/ledger';
import { hasher } from './hasher.js';
import { readNodes } from './log-tiles.js';
import type { ArchiveSigner } from './signer.js';
import type { Tx } from './tx.js';

export const STUDIO_LOG = 'studio';

export interface LogHead {
  readonly logId: string;
  readonly origin: string;
  readonly siteId: string | null;
  /** from 1: how often the history of the site, or of the studio, was opened anew */
  readonly epoch: number;
  readonly size: number;
  readonly rootHash: Uint8Array;
  readonly hashes: readonly Uint8Array[];
  readonly lastAt: Date;
  /** fingerprint of the key that signed the head, null before the first */
  readonly signingKey: string | null;
}

type LogRow = Omit<LogHead, 'hashes' | 'rootHash'> & { rootHash: Buffer };

/** What the logs of all epochs of a site are asked by: its id, or `studio`. */
export function lineOf({ siteId }: { readonly siteId: string | null }): string {
  return siteId ?? STUDIO_LOG;
}

/** Id of the log of a site, or of the studio, in an epoch (from 1). */
export function logIdOf(siteId: string | null, epoch: number): string {
  return epochLogId(lineOf({ siteId }), epoch);
}

/** The entry at a place in the history of a site, as the ledger is asked for it. */
export const entryAt = (siteId: string | null, place: number): { logId: string; seq: number } =>
  entryAtPlace(lineOf({ siteId }), place);

/** SQL for the log of a line (`$1`) that is open. */
export const OPEN_LOG = `(SELECT log_id FROM log WHERE log_id = $1 OR log_id LIKE $1 || '.%' ORDER BY epoch DESC LIMIT 1)`;

/** Id of the log of a line that is open; undefined before it was begun. */
export async function openLogId(tx: Tx, line: string): Promise<string | undefined> {
  const row = await tx.first<{ logId: string }>(
    `SELECT log_id FROM log WHERE log_id = ${OPEN_LOG}`,
    [line],
    [],
  );
  return row?.logId;
}

/**
 * Locks the open log of a line until the transaction ends; undefined when there is none yet.
 * @param known the head as this process left it: spares reading the tree when nobody else wrote
 */
export function lockHead(tx: Tx, line: string, known?: LogHead): Promise<LogHead | undefined> {
  return lockWhere(tx, `log_id = ${OPEN_LOG}`, line, known);
}

/** Locks one log, open or closed. */
export function lockLog(tx: Tx, logId: string): Promise<LogHead | undefined> {
  return lockWhere(tx, 'log_id = $1', logId);
}

async function lockWhere(
  tx: Tx,
  where: string,
  id: string,
  known?: LogHead,
): Promise<LogHead | undefined> {
  const row = await tx.firstPrepared<LogRow>(
    `SELECT log_id, origin, site_id, epoch, size, root_hash, last_at, signing_key FROM log WHERE ${where} FOR UPDATE`,
    [id],
  );
  if (row === undefined) return undefined;
  const isKnown =
    known?.logId === row.logId && known.size === row.size && row.rootHash.equals(known.rootHash);
  return {
    ...row,
    rootHash: new Uint8Array(row.rootHash),
    hashes: isKnown ? known.hashes : await readNodes(tx, row.logId, frontierNodes(row.size)),
  };
}

export async function openLog(
  tx: Tx,
  log: { logId: string; origin: string; siteId: string | null; at: Date; epoch?: number },
): Promise<LogHead> {
  await tx.run(
    `INSERT INTO log (log_id, origin, site_id, size, root_hash, last_at, epoch)
     VALUES ($1, $2, $3, 0, $4, $5, $6) ON CONFLICT (log_id) DO NOTHING`,
    [log.logId, log.origin, log.siteId, Buffer.from(new Frontier().root()), log.at, log.epoch ?? 1],
    ['log'],
  );
  return (await lockLog(tx, log.logId))!;
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
  await tx.writePrepared(
    `WITH signed AS (
       INSERT INTO checkpoint (log_id, size, note, signed_at) VALUES ($1, $2::bigint, $6, $7))
     UPDATE log SET size = $2::bigint, root_hash = $3, last_at = $4, signing_key = $5
     WHERE log_id = $1`,
    [logId, size, Buffer.from(rootHash), lastAt, signer.fingerprint, note, now],
    ['log', 'checkpoint'],
  );
  return { ...head, rootHash, note };
}
