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

export type LogRow = Omit<LogHead, 'hashes' | 'rootHash'> & { rootHash: Buffer };

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

/** SQL for the log of a line that is open. @param line parameter or literal */
export const openLogOf = (line: string): string =>
  `(SELECT log_id FROM log WHERE log_id = ${line} OR log_id LIKE ${line} || '.%' ORDER BY epoch DESC LIMIT 1)`;

/** The same for a line in `$1`. */
export const OPEN_LOG = openLogOf('$1');

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
export async function lockHead(
  tx: Tx,
  line: string,
  known?: LogHead,
): Promise<LogHead | undefined> {
  return headOf(tx, await lockRow(tx, line), known);
}

/** Locks one log, open or closed. */
export async function lockLog(tx: Tx, logId: string): Promise<LogHead | undefined> {
  return headOf(tx, await lockWhere(tx, 'log_id = $1', logId));
}

/** The row of the open log of a line, locked until the transaction ends. */
export function lockRow(tx: Tx, line: string): Promise<LogRow | undefined> {
  return lockWhere(tx, `log_id = ${OPEN_LOG}`, line);
}

function lockWhere(tx: Tx, where: string, id: string): Promise<LogRow | undefined> {
  return tx.firstPrepared<LogRow>(
    `SELECT log_id, origin, site_id, epoch, size, root_hash, last_at, signing_key FROM log WHERE ${where} FOR UPDATE`,
    [id],
  );
}

async function headOf(
  tx: Tx,
  row: LogRow | undefined,
  known?: LogHead,
): Promise<LogHead | undefined> {
  if (row === undefined) return undefined;
  const hashes =
    known !== undefined && isHead(row, known)
      ? known.hashes
      : await readNodes(tx, row.logId, frontierNodes(row.size));
  return { ...row, rootHash: new Uint8Array(row.rootHash), hashes };
}

/** Whether a log stands where it is known to stand. */
export function isHead(
  row: Pick<LogHead, 'logId' | 'size' | 'rootHash'>,
  known: Pick<LogHead, 'logId' | 'size' | 'rootHash'>,
): boolean {
  return (
    known.logId === row.logId &&
    known.size === row.size &&
    Buffer.compare(row.rootHash, known.rootHash) === 0
  );
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

/** The root and the checkpoint over it. */
export async function signHead(head: LogHead, signer: ArchiveSigner): Promise<SignedHead> {
  const { origin, size, hashes } = head;
  const rootHash = new Frontier(hasher, size, hashes).root();
  const note = await signCheckpoint({ origin, size, root: rootHash }, signer);
  return { ...head, rootHash, note, signingKey: signer.fingerprint };
}

/** Writes the new head and its signed checkpoint. */
export async function writeHead(tx: Tx, head: SignedHead, now: Date): Promise<void> {
  const { logId, size, rootHash, lastAt, signingKey, note } = head;
  await tx.writePrepared(
    `WITH signed AS (
       INSERT INTO checkpoint (log_id, size, note, signed_at) VALUES ($1, $2::bigint, $6, $7))
     UPDATE log SET size = $2::bigint, root_hash = $3, last_at = $4, signing_key = $5
     WHERE log_id = $1`,
    [logId, size, Buffer.from(rootHash), lastAt, signingKey, note, now],
    ['log', 'checkpoint'],
  );
}

/** Signs the new head and writes it. */
export async function storeHead(
  tx: Tx,
  head: LogHead,
  signer: ArchiveSigner,
  now: Date,
): Promise<SignedHead> {
  const signed = await signHead(head, signer);
  await writeHead(tx, signed, now);
  return signed;
}
