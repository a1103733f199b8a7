/** Whether what was restored is what the manifest names, and whether every log stands by itself. */
import { createHash } from 'node:crypto';
import { formatVerifierKey, LogCheck, type LogVerdict, verifierKey } from '#libs/ledger';
import { backupTables, fullName, type RowReader, selectRows } from './backup-tables.js';
import type { Manifest } from './manifest.js';

const ENTRIES_AT_ONCE = 500;

/** Projections whose rows, made again, are not those of the backup's moment. */
export async function differingProjections(rows: RowReader, manifest: Manifest): Promise<string[]> {
  const differing: string[] = [];
  const tables = await backupTables(rows);
  for (const expected of manifest.projections) {
    const table = tables.find((one) => fullName(one) === fullName(expected));
    const hash = createHash('sha256');
    if (table !== undefined) {
      const ordered = { ...table, columns: expected.columns };
      for await (const bytes of rows.copyOut(selectRows(ordered))) hash.update(bytes);
    }
    if (`sha256:${hash.digest('hex')}` !== expected.digest) differing.push(fullName(expected));
  }
  return differing;
}

export interface CheckedLog {
  readonly logId: string;
  readonly origin: string;
  readonly verdict: LogVerdict;
}

/**
 * Every log against its newest checkpoint, entry by entry.
 *
 * @param fingerprint what the reader holds; without it the logs are consistent with themselves at best
 */
export async function checkLogs(
  rows: RowReader,
  manifest: Manifest,
  fingerprint: string | undefined,
): Promise<CheckedLog[]> {
  const publicKey = new Uint8Array(Buffer.from(manifest.publicKey, 'base64'));
  const checked: CheckedLog[] = [];
  for (const { logId, origin, checkpoint } of manifest.logs) {
    if (checkpoint === null) continue;
    const check = new LogCheck(checkpoint, {
      key: formatVerifierKey(verifierKey(origin, publicKey)),
      ...(fingerprint === undefined ? {} : { fingerprint }),
    });
    for (let from = 0; ; from += ENTRIES_AT_ONCE) {
      const found = await rows.query<{ bytes: Buffer }>(
        'SELECT bytes FROM entry WHERE log_id = $1 AND seq >= $2 ORDER BY seq LIMIT $3',
        [logId, from, ENTRIES_AT_ONCE],
      );
      for (const { bytes } of found) check.add(new Uint8Array(bytes));
      if (found.length < ENTRIES_AT_ONCE) break;
    }
    checked.push({ logId, origin, verdict: check.finish() });
  }
  return checked;
}

/** What an object is to the history, in words: for the sentence that says it is lost. */
export async function nameOfObject(
  rows: Pick<RowReader, 'query'>,
  digest: string,
): Promise<string> {
  const [entry] = await rows.query<{
    subject: string | null;
    type: string;
    seq: string;
    origin: string;
  }>(
    `SELECT e.subject, e.type, e.seq, l.origin FROM entry e JOIN log l USING (log_id)
     WHERE position(convert_to($1, 'UTF8') IN e.bytes) > 0 ORDER BY e.log_id, e.seq LIMIT 1`,
    [digest],
  );
  if (entry === undefined) return digest;
  const { subject, type, seq, origin } = entry;
  return `${digest} (${subject ?? 'no mark'}, ${type}, entry ${seq} of ${origin})`;
}
