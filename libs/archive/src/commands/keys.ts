/**
 * What the logs tell of the archive's key. These entries are written by `keys/`, in every log at
 * once, and not asked for by a person's request: they have a projection and no `decide`.
 */
import {
  fingerprintOf,
  KEY_ANNOUNCE,
  KEY_CHANGE,
  type KeyAnnouncement,
  type KeyChange,
  keyOfLog,
} from '#libs/ledger';
import type { ProjectedEntry } from '../command.js';
import { putRow } from '../tables.js';
import type { Tx } from '../tx.js';

export const keyAnnounced = {
  type: KEY_ANNOUNCE,
  async project(entry: ProjectedEntry<KeyAnnouncement>, tx: Tx): Promise<void> {
    const { key, successor, sealing } = entry.payload;
    await putRow(tx, 'key_event', {
      ...placeOf(entry),
      kind: 'announce',
      fingerprint: printOf(key),
      successor: printOf(successor),
      sealing,
      fromFingerprint: null,
      signedBy: null,
    });
  },
};

export const keyChanged = {
  type: KEY_CHANGE,
  async project(entry: ProjectedEntry<KeyChange>, tx: Tx): Promise<void> {
    const { from, to, signedBy } = entry.payload;
    await putRow(tx, 'key_event', {
      ...placeOf(entry),
      kind: 'change',
      fingerprint: printOf(to),
      successor: null,
      sealing: null,
      fromFingerprint: from,
      signedBy,
    });
  },
};

function placeOf({ logId, index, recordedAt }: ProjectedEntry) {
  return { logId, seq: index, recordedAt };
}

function printOf(verifierKey: string): string {
  const publicKey = keyOfLog(verifierKey, verifierKey.slice(0, verifierKey.indexOf('+')));
  if (publicKey === undefined) throw new Error(`${verifierKey} is no verifier key`);
  return fingerprintOf(publicKey);
}
