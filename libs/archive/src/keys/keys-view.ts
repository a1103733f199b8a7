/** What the archive says of its keys to people: one after the other, and the sheet in force. */
import { keyChangeSentence, parseOrigin, placeIn, type SignedBy } from '#libs/ledger';
import { OPEN_LOG, STUDIO_LOG } from '../log-head.js';
import { type SqlPool, Tx } from '../tx.js';
import { historyOf, keyEntries } from './announcement.js';
import type { KeptSheet } from './kept-sheet.js';

export interface KeyView {
  readonly fingerprint: string;
  /** place in the studio's history (see `placeInHistory`) from which on it signs */
  readonly sinceSeq: number;
  /** how it came in force: the first of the archive, or who signed the change */
  readonly came: 'first' | SignedBy;
  /** the change in a sentence; null for the first */
  readonly said: string | null;
}

export interface KeysOfArchive {
  readonly origin: string;
  /** oldest first; the last is in force */
  readonly keys: readonly KeyView[];
  /** of the recovery sheet in force, and the place of the entry that announced it; null where none was announced */
  readonly successor: { readonly fingerprint: string; readonly announcedAt: number } | null;
}

/** The history of keys as the studio's log tells it. */
export async function keysOfArchive(tx: Tx): Promise<KeysOfArchive> {
  const log = await tx.first<{ logId: string; origin: string; signingKey: string | null }>(
    `SELECT log_id, origin, signing_key FROM log WHERE log_id = ${OPEN_LOG}`,
    [STUDIO_LOG],
  );
  const entries = await keyEntries(tx, log!.logId);
  const history = historyOf(log!.origin, entries);
  const changes = history.changes;
  const first = changes[0]?.from ?? history.current?.fingerprint ?? log!.signingKey;
  const successor = await tx.first<{ fingerprint: string }>(
    `SELECT successor AS fingerprint FROM key_event
     WHERE log_id = $1 AND seq = $2`,
    [log!.logId, history.announced?.seq ?? -1],
  );
  return {
    origin: log!.origin,
    keys: [
      ...(first === null
        ? []
        : [{ fingerprint: first, sinceSeq: 0, came: 'first' as const, said: null }]),
      ...changes.map((change) => ({
        fingerprint: change.to,
        sinceSeq: placeIn(change.origin ?? log!.origin, change.seq),
        came: change.signedBy,
        said: keyChangeSentence(change, log!.origin),
      })),
    ],
    successor:
      successor === undefined
        ? null
        : {
            fingerprint: successor.fingerprint,
            announcedAt: placeIn(log!.origin, history.announced!.seq),
          },
  };
}

/** What is printed on a recovery sheet. */
export async function recoverySheetOf(pool: SqlPool, { words, fingerprint, madeAt }: KeptSheet) {
  const { origin, keys, successor } = await keysOfArchive(new Tx(pool));
  return {
    words,
    archiveId: parseOrigin(origin)!.archiveId,
    fingerprint: keys.at(-1)?.fingerprint ?? '',
    successor: fingerprint,
    announcedAt: successor?.announcedAt ?? 0,
    madeAt,
  };
}
