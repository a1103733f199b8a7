/** References of entries to leaves of other logs: is there that entry, with that hash? */
import { type Entry, parseOrigin } from '#libs/ledger';
import type { Tx } from '../tx.js';
import type { Findings } from './archive-report.js';
import { whatIs } from './what-is.js';

/** References to logs of other archives cannot be looked up here and are passed over. */
export async function checkReferences(
  tx: Tx,
  entries: readonly Entry[],
  origin: string,
  findings: Findings,
): Promise<void> {
  const archiveId = parseOrigin(origin)?.archiveId;
  const refs = entries.flatMap((entry) =>
    entry.refs
      .filter((ref) => parseOrigin(ref.origin)?.archiveId === archiveId)
      .map((ref) => ({ entry, ref })),
  );
  if (refs.length === 0) return;
  const wanted = [...new Map(refs.map(({ ref }) => [nameOf(ref), ref])).values()];
  const rows = await tx.query<{ origin: string; index: number; leafHash: string }>(
    `SELECT l.origin, e.seq AS index, encode(e.leaf_hash, 'hex') AS leaf_hash
     FROM unnest($1::text[], $2::bigint[]) AS wanted(origin, index)
     JOIN log l ON l.origin = wanted.origin
     JOIN entry e ON e.log_id = l.log_id AND e.seq = wanted.index`,
    [wanted.map((ref) => ref.origin), wanted.map((ref) => ref.index)],
  );
  const found = new Map(rows.map((row) => [nameOf(row), row.leafHash]));
  for (const { entry, ref } of refs) {
    if (found.get(nameOf(ref)) === ref.leafHash) continue;
    findings.add({
      place: 'reference',
      log: origin,
      seq: entry.seq,
      what: whatIs(entry.type, entry.subject),
      reason: `entry ${entry.seq} refers to entry ${ref.index} of ${ref.origin}, ${
        found.has(nameOf(ref)) ? 'which is another than the one that is here' : 'which is not here'
      }`,
    });
  }
}

function nameOf({ origin, index }: { origin: string; index: number }): string {
  return `${index} ${origin}`;
}
