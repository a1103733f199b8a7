/** The row of a log against its entries. */
import { bytesEqual, parseOrigin } from '#libs/ledger';
import { logIdOf } from '../log-head.js';
import type { LogRow } from './log-rows.js';

/** @param found by the entries: how many, their root, and when the last was recorded (empty: none) */
export function logRowProblems(
  { size, rootHash, lastAt, siteId, logId, origin, epoch }: LogRow,
  found: { total: number; root: Uint8Array; lastAt: string },
): string[] {
  const problems: string[] = [];
  if (size !== found.total) {
    problems.push(`the log's row says ${size} entries, there are ${found.total}`);
  }
  if (!bytesEqual(rootHash, found.root)) {
    problems.push('the root hash in the log’s row is not that of its entries');
  }
  if (found.total > 0 && lastAt.toISOString() !== found.lastAt) {
    problems.push(
      `the log's row says the last entry was recorded at ${lastAt.toISOString()}, it says ${found.lastAt}`,
    );
  }
  const parsed = parseOrigin(origin);
  const isNamed = parsed?.epoch === epoch && logId === logIdOf(siteId, epoch);
  if (parsed === undefined || (parsed.log === 'studio') !== (siteId === null) || !isNamed) {
    problems.push(
      `the log's row (${logId}, site ${siteId ?? 'none'}, epoch ${epoch}) does not fit its origin`,
    );
  }
  return problems;
}
