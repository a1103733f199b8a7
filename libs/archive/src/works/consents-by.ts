import { daysOf } from '../happened.js';
import type { Tx } from '../tx.js';
import type { ProposalLine } from './proposal-line.js';

/** A consent as it stood on a day, with the lines of the proposal that it is for. */
export interface ConsentThen {
  readonly consentId: string;
  readonly lines: readonly ProposalLine[];
}

interface Said {
  consentId: string;
  proposalId: string;
  decision: 'given' | 'refused';
  happened: string;
  expires: string | null;
  lineNumbers: number[];
  lines: ProposalLine[];
}

/**
 * What was consented to when work was done. Of each proposal the last answer by that day counts: a
 * refusal takes back what was given before. An answer may be of the same day; where dates leave it open
 * whether it was there, it counts.
 *
 * @param happened EDTF of the work; null: no day is known, and every answer counts
 * @returns expired: until when a consent was good that had run out, null where none had
 */
export async function consentsBy(
  tx: Tx,
  campaignId: string,
  happened: string | null,
): Promise<{ inForce: ConsentThen[]; expired: string | null }> {
  const rows = await tx.query<Said>(
    `SELECT c.consent_id, c.proposal_id, c.decision, c.happened, c.expires, c.line_numbers, p.lines
     FROM consent c JOIN proposal p ON p.proposal_id = c.proposal_id AND p.issue = c.issue
     WHERE c.campaign_id = $1 ORDER BY c.entry_seq`,
    [campaignId],
    ['consent', 'proposal'],
  );
  const day = daysOf(happened);
  const lastOf = new Map<string, Said>();
  for (const row of rows) {
    const { first } = daysOf(row.happened);
    if (day.last !== null && first !== null && first > day.last) continue;
    const before = lastOf.get(row.proposalId);
    const isLater = before === undefined || (first ?? '') >= (daysOf(before.happened).first ?? '');
    if (isLater) lastOf.set(row.proposalId, row);
  }
  const inForce: ConsentThen[] = [];
  let expired: string | null = null;
  for (const { consentId, decision, expires, lineNumbers, lines } of lastOf.values()) {
    if (decision === 'refused') continue;
    const until = expires === null ? null : daysOf(expires).last;
    if (until !== null && day.first !== null && day.first > until) {
      expired = expires;
      continue;
    }
    inForce.push({
      consentId,
      lines: lineNumbers.length === 0 ? lines : lines.filter((_, i) => lineNumbers.includes(i + 1)),
    });
  }
  return { inForce, expired };
}
