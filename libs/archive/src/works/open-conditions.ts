import type { Tx } from '../tx.js';

/** A condition of a consent that nobody has said was met. */
export interface OpenCondition {
  readonly consentId: string;
  readonly conditionId: string;
  readonly text: string;
  /** before-work, before-close */
  readonly due: string;
  /** when the consent was given, EDTF */
  readonly given: string;
}

/** Of all consents of a campaign, in the order in which they were given. */
export function openConditions(tx: Tx, campaignId: string): Promise<OpenCondition[]> {
  return tx.query<OpenCondition>(
    `SELECT c.consent_id, one ->> 'conditionId' AS condition_id, one ->> 'text' AS text,
            one ->> 'due' AS due, c.happened AS given
     FROM consent c CROSS JOIN LATERAL jsonb_array_elements(c.conditions) WITH ORDINALITY AS e(one, number)
     WHERE c.campaign_id = $1 AND c.decision = 'given'
       AND coalesce(one -> 'discharged', 'null'::jsonb) = 'null'::jsonb
     ORDER BY c.entry_seq, number`,
    [campaignId],
    ['consent'],
  );
}
