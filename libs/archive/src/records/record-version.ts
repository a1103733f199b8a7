import {
  base64Of,
  keyChangeSentence,
  parseCheckpoint,
  parseNote,
  placeInHistory,
} from '#libs/ledger';
import type { RecordVersion } from '#libs/records';
import { historyOf, keyEntries } from '../keys/announcement.js';
import type { Tx } from '../tx.js';

/**
 * The last entry that tells of the place, what lies in it or what it lies in, and the first signed
 * head that holds it: the same record of the same facts always names the same.
 */
export async function recordVersion(tx: Tx, siteId: string, mark: string): Promise<RecordVersion> {
  const last = await tx.first<{
    logId: string;
    seq: number;
    epoch: number;
    recordedAt: Date;
    origin: string;
    signingKey: string;
    note: string;
  }>(
    `WITH last AS (
       SELECT log_id, e.seq, l.epoch, recorded_at FROM entry e JOIN log l USING (log_id)
       WHERE l.site_id = $1::uuid AND type NOT LIKE 'dossier.%'
         AND (subject = $2 OR starts_with(subject, $2 || '.') OR starts_with($2, subject || '.'))
       ORDER BY l.epoch DESC, e.seq DESC LIMIT 1)
     SELECT last.log_id, last.seq, last.epoch, last.recorded_at, l.origin, l.signing_key, c.note
     FROM last JOIN log l USING (log_id) JOIN checkpoint c ON c.log_id = last.log_id AND c.size > last.seq
     ORDER BY c.size LIMIT 1`,
    [siteId, mark],
  );
  if (last === undefined) {
    return {
      format: 'mullion-record/1',
      version: '0',
      supersedes: null,
      recordedAt: null,
      ledger: null,
    };
  }
  const change = historyOf(last.origin, await keyEntries(tx, last.logId)).changes.at(-1);
  const head = parseCheckpoint(parseNote(last.note).text);
  return {
    format: 'mullion-record/1',
    version: String(placeInHistory(last.epoch, last.seq)),
    supersedes: null,
    recordedAt: last.recordedAt.toISOString(),
    ledger: {
      origin: last.origin,
      entrySeq: last.seq,
      treeSize: head.size,
      rootHash: base64Of(head.root),
      fingerprint: last.signingKey,
      ...(change !== undefined && { keyChange: keyChangeSentence(change, last.origin) }),
    },
  };
}
