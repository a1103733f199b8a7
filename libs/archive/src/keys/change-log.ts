/** One log handed on to another key. */
import { changedKey, KEY_CHANGE, type SignedBy } from '#libs/ledger';
import { type Author, appendEntry } from '../append-entry.js';
import { keyChanged } from '../commands/keys.js';
import type { LogHead } from '../log-head.js';
import type { ArchiveSigner } from '../signer.js';
import type { Tx } from '../tx.js';
import { announce, decided, historyOf, keyEntries, type Successor } from './announcement.js';

export interface ChangePlan {
  /** undefined when it is lost */
  readonly old: ArchiveSigner | undefined;
  readonly to: ArchiveSigner;
  /** announced anew by the key that follows: an announcement lapses with its key */
  readonly successor: Successor | undefined;
}

export interface ChangedLog {
  readonly head: LogHead;
  readonly signedBy: SignedBy;
  /** fingerprint of the key before */
  readonly from: string | null;
  /** place of the change in the history (`entryName` names it) */
  readonly seq: number;
}

/** Appends the change and the announcement after it to a locked log; the head is not stored yet. */
export async function changeLog(
  tx: Tx,
  head: LogHead,
  { old, to, successor }: ChangePlan,
  by: Author,
): Promise<ChangedLog> {
  const history = historyOf(head.origin, await keyEntries(tx, head.logId));
  const from = history.current?.publicKey ?? old?.publicKey ?? null;
  const isAnnounced =
    history.announced !== undefined &&
    Buffer.from(history.announced.publicKey).equals(to.publicKey);
  const signedBy = old !== undefined ? 'old' : isAnnounced ? 'successor' : 'none';
  const payload = changedKey(
    { origin: head.origin, seq: head.size },
    from,
    to.publicKey,
    signedBy,
    old ?? to,
  );
  const appended = await appendEntry(tx, head, KEY_CHANGE, { ...decided(head), payload }, by);
  await keyChanged.project(appended.entry, tx);
  const changed = { ...appended.head, signingKey: to.fingerprint };
  return {
    head: successor === undefined ? changed : await announce(tx, changed, successor, to, by),
    signedBy,
    from: payload.from,
    seq: appended.entry.seq,
  };
}
