/** A checkpoint that somebody holds, against the logs as they are here. */
import {
  bytesEqual,
  type Checkpoint,
  KeyHistory,
  openNote,
  parseCheckpoint,
  parseNote,
  rootFrom,
  verifierKey,
} from '#libs/ledger';
import { Problem } from '#libs/problem';
import { keyEntries } from '../keys/announcement.js';
import { readNodes } from '../log-tiles.js';
import type { ArchiveSigner } from '../signer.js';
import type { Tx } from '../tx.js';

export interface LogOfCheckpoint {
  readonly logId: string;
  readonly siteId: string | null;
  readonly origin: string;
  readonly size: number;
  readonly epoch: number;
  /** whether a later epoch is open */
  readonly isClosed: boolean;
}

/** The log whose origin the checkpoint names; undefined for one of another archive. */
export function logOfOrigin(tx: Tx, origin: string): Promise<LogOfCheckpoint | undefined> {
  return tx.first<LogOfCheckpoint>(
    `SELECT l.log_id, l.site_id, l.origin, l.size, l.epoch,
       EXISTS (SELECT 1 FROM log later WHERE later.site_id IS NOT DISTINCT FROM l.site_id
                 AND later.epoch > l.epoch) AS is_closed
     FROM log l WHERE l.origin = $1`,
    [origin],
  );
}

/** @throws {Problem} `checkpoint-unreadable` for text that is no signed checkpoint */
export function readCheckpoint(note: string): Checkpoint {
  try {
    return parseCheckpoint(parseNote(note).text);
  } catch (cause) {
    throw new Problem(
      'checkpoint-unreadable',
      'This is no checkpoint of a log: expected the text that was given out, with its signature lines.',
      { field: 'checkpoint' },
      { cause },
    );
  }
}

/**
 * Whether the archive itself signed it: by a key that this log ever had, or the one it has now. What
 * others made up opens no epoch.
 */
export async function isSignedByArchive(
  tx: Tx,
  log: LogOfCheckpoint,
  note: string,
  current: Pick<ArchiveSigner, 'publicKey'>,
): Promise<boolean> {
  const history = new KeyHistory(log.origin);
  for (const entry of await keyEntries(tx, log.logId)) history.add(entry);
  const keys = [
    current.publicKey,
    history.announced?.publicKey,
    history.current?.publicKey,
    history.keyFor(0),
    ...history.changes.map(({ seq }) => history.keyFor(seq + 1)),
  ];
  const known = keys.flatMap((key) => (key === undefined ? [] : [verifierKey(log.origin, key)]));
  const opened = openNote(note, known);
  return opened.verified.length > 0;
}

/** Whether our log contains what the checkpoint commits to. */
export async function contains(tx: Tx, log: LogOfCheckpoint, head: Checkpoint): Promise<boolean> {
  if (head.size > log.size) return false;
  const reader = {
    readHashes: (nodes: Parameters<typeof readNodes>[2]) => readNodes(tx, log.logId, nodes),
  };
  return bytesEqual(await rootFrom(reader, head.size), head.root);
}
