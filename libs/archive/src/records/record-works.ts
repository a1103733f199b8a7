/** What a treatment record tells of the campaigns that touched its place. */
import type { TreatmentRecord } from '#libs/records';
import { type FlagKind, flagSentence, operation } from '#libs/vocabulary';
import type {
  CampaignRow,
  ConsentRow,
  FlagRow,
  ProposalRow,
  TreatmentSignatureRow,
} from '../rows.js';
import type { Tx } from '../tx.js';
import type { ConsentCondition } from '../views/proposal-view.js';
import { isWithin } from '../works/common-mark.js';
import type { ProposalLine } from '../works/proposal-line.js';
import { textOfLines } from './text-of-lines.js';

export type RecordWorks = Pick<
  TreatmentRecord,
  | 'proposal'
  | 'options'
  | 'consent'
  | 'departures'
  | 'residualRisk'
  | 'maintenance'
  | 'nextInspection'
  | 'by'
  | 'qualification'
>;

interface NamedConsent extends ConsentRow {
  byName: string | null;
}

/** @param mark full and canonical */
export async function recordWorks(tx: Tx, siteId: string, mark: string): Promise<RecordWorks> {
  const campaigns = (
    await tx.query<CampaignRow>('SELECT * FROM campaign WHERE site_id = $1 ORDER BY entry_seq', [
      siteId,
    ])
  ).filter(({ scope }) => scope.some((place) => isWithin(mark, place) || isWithin(place, mark)));
  const ids = campaigns.map(({ campaignId }) => campaignId);
  const proposals = (
    await tx.query<ProposalRow>(
      `SELECT * FROM proposal WHERE campaign_id = ANY($1::uuid[]) AND state IN ('sent', 'consented', 'refused')
       ORDER BY entry_seq`,
      [ids],
    )
  )
    .map((row) => ({ row, lines: linesAt(row, mark) }))
    .filter(({ lines }) => lines.length > 0);
  const consents = await tx.query<NamedConsent>(
    `SELECT c.*, p.display_name AS by_name FROM consent c LEFT JOIN person p ON p.person_id = c.by_person_id
     WHERE c.campaign_id = ANY($1::uuid[]) ORDER BY c.entry_seq`,
    [ids],
  );
  const about = consents.filter((one) =>
    proposals.some(({ row }) => row.proposalId === one.proposalId && row.issue === one.issue),
  );
  const closing = campaigns.findLast((one) => one.closing !== null)?.closing as
    | Record<string, string | undefined>
    | undefined;
  return {
    proposal: textOfLines(
      proposals.flatMap(({ row, lines }) => lines.map((line) => proposed(row, line))),
    ),
    options: textOfLines(proposals.flatMap(({ lines }) => lines.flatMap(weighed))),
    consent: consentOf(about),
    departures: campaigns.length === 0 ? null : await departuresAt(tx, siteId, mark),
    residualRisk: closing?.['residualRisk'] ?? null,
    maintenance: closing?.['maintenance'] ?? null,
    nextInspection: closing?.['nextInspection'] ?? null,
    ...(await signedBy(tx, siteId, mark)),
  };
}

function linesAt({ lines }: ProposalRow, mark: string): ProposalLine[] {
  return (lines as ProposalLine[]).filter((line) =>
    line.subjects.some((place) => isWithin(mark, place) || isWithin(place, mark)),
  );
}

function proposed({ title, issue }: ProposalRow, line: ProposalLine): string {
  const { what, operations } = line.options[line.chosen]!;
  return [
    `${title}, issue ${issue}`,
    line.subjects.join(', '),
    line.need,
    what,
    operations.map((key) => operation(key)?.label ?? key).join(', '),
    `because ${line.why}`,
    line.where === 'in-place' ? 'in place' : 'taken out',
    line.materials.length === 0 ? '' : `with ${line.materials.join(', ')}`,
    line.reversibility ?? '',
  ]
    .filter((text) => text !== '')
    .join(' · ');
}

function weighed({ options, chosen }: ProposalLine): string[] {
  return options.map(({ what, speaksFor, speaksAgainst }, i) =>
    [
      `${i === chosen ? 'chosen' : 'not chosen'}: ${what}`,
      speaksFor === undefined ? '' : `for it: ${speaksFor}`,
      speaksAgainst === undefined ? '' : `against it: ${speaksAgainst}`,
    ]
      .filter((text) => text !== '')
      .join(' · '),
  );
}

function consentOf(consents: readonly NamedConsent[]): RecordWorks['consent'] {
  if (consents.length === 0) return null;
  const by = consents.map((one) =>
    [one.byName ?? one.byText, one.forWhom === null ? null : `for ${one.forWhom}`]
      .filter((text) => text !== null)
      .join(' '),
  );
  const how = consents.map((one) =>
    [
      one.decision === 'given' ? 'consented' : 'refused',
      one.how === 'letter' ? 'by letter' : 'in the program',
      one.isOnePerson ? 'proposer and approver are one person' : null,
      one.expires === null ? null : `until ${one.expires}`,
    ]
      .filter((text) => text !== null)
      .join(', '),
  );
  const conditions = consents.flatMap((one) =>
    (one.conditions as ConsentCondition[]).map(
      ({ text, discharged }) =>
        `${text}: ${discharged === null ? 'not met yet' : `met ${discharged.happened}, ${discharged.how}`}`,
    ),
  );
  return {
    by: by.join('; '),
    how: how.join('; '),
    happened: consents.map(({ happened }) => happened).join('; '),
    conditions: textOfLines(conditions),
  };
}

async function departuresAt(
  tx: Tx,
  siteId: string,
  mark: string,
): Promise<RecordWorks['departures']> {
  const rows = await tx.query<FlagRow & { answeredName: string | null }>(
    `SELECT f.*, p.display_name AS answered_name FROM flag f LEFT JOIN person p ON p.person_id = f.answered_by
     WHERE f.site_id = $1 AND (f.subject = $2 OR starts_with(f.subject, $2 || '.') OR starts_with($2, f.subject || '.'))
     ORDER BY f.raised_seq, f.flag_id`,
    [siteId, mark],
  );
  return rows.map((row) => ({
    what: flagSentence(row.kind as FlagKind, row.said as Record<string, string | number>),
    why: row.answer ?? 'not answered yet',
    agreedBy: row.answeredName,
  }));
}

async function signedBy(
  tx: Tx,
  siteId: string,
  mark: string,
): Promise<Pick<RecordWorks, 'by' | 'qualification'>> {
  const row = await tx.first<TreatmentSignatureRow & { displayName: string }>(
    `SELECT t.*, a.display_name FROM treatment_signature t
     JOIN person a ON a.person_id = t.signed_by
     JOIN panel p ON p.panel_id = t.panel_id JOIN "window" w ON w.window_id = p.window_id
     JOIN site s ON s.site_id = t.site_id
     WHERE t.site_id = $1
       AND s.code || CASE WHEN coalesce(s.unit, '') = '' THEN '' ELSE ':' || s.unit END
           || '.' || w.mark || '.' || p.mark = $2
     ORDER BY t.entry_seq DESC LIMIT 1`,
    [siteId, mark],
  );
  if (row === undefined) return { by: null, qualification: null };
  return {
    by: { name: row.displayName, role: `signed version ${row.recordVersion}, ${row.happened}` },
    qualification: row.qualification,
  };
}
