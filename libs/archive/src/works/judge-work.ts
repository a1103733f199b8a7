/** Work held against what was consented to on the day it happened. Nothing is refused here. */
import { Problem } from '#libs/problem';
import { type Operation, operation as operationOf } from '#libs/vocabulary';
import type { FlagSeed } from '../flags.js';
import { daysOf } from '../happened.js';
import type { CampaignRow } from '../rows.js';
import { findRow } from '../tables.js';
import type { Tx } from '../tx.js';
import { commonMark, isWithin } from './common-mark.js';
import { type ConsentThen, consentsBy } from './consents-by.js';
import { openConditions } from './open-conditions.js';
import { allowedOperations } from './proposal-line.js';
import type { UsedMaterial } from './used-material.js';

export interface Work {
  readonly siteId: string;
  readonly operation: Operation;
  /** full marks */
  readonly subjects: readonly string[];
  /** EDTF */
  readonly happened: string | null;
  readonly materials: readonly UsedMaterial[];
  readonly reason: string | null;
}

export interface Judged {
  /** the consent that covers all of it */
  readonly consentId: string | null;
  readonly flags: readonly FlagSeed[];
}

/**
 * The campaign that work belongs to: the one that was named, or the only one that is open, covers all
 * of the marks and had begun by then. Null for work outside of campaigns, of long ago say.
 *
 * @throws {Problem} `campaign-unknown`
 */
export async function campaignOf(
  tx: Tx,
  { siteId, subjects, happened }: Pick<Work, 'siteId' | 'subjects' | 'happened'>,
  named: string | undefined,
): Promise<string | null> {
  if (named !== undefined) {
    const row = await findRow(tx, 'campaign', { campaignId: named });
    if (row?.siteId === siteId) return named;
    throw new Problem(
      'campaign-unknown',
      'campaignId: this site has no such campaign. Read the list of campaigns, or leave it out.',
      { field: 'campaignId' },
    );
  }
  const open = await tx.query<Pick<CampaignRow, 'campaignId' | 'scope' | 'began'>>(
    `SELECT campaign_id, scope, began FROM campaign WHERE site_id = $1 AND state = 'open'`,
    [siteId],
    ['campaign'],
  );
  const { first } = daysOf(happened);
  const fitting = open.filter(
    ({ scope, began }) =>
      first !== null &&
      first >= (daysOf(began).first ?? '') &&
      subjects.every((mark) => scope.some((place) => isWithin(mark, place))),
  );
  return fitting.length === 1 ? fitting[0]!.campaignId : null;
}

/**
 * @param campaignId null: work outside of campaigns, for which no consent is asked; what was used is
 *   held against its own date all the same
 */
export async function judgeWork(tx: Tx, work: Work, campaignId: string | null): Promise<Judged> {
  const subject = commonMark(work.subjects);
  const operation = work.operation.label;
  const when = work.happened ?? 'a day not given';
  const at = { subject, campaignId };
  const flags: FlagSeed[] = expiredMaterials(work, when).map((said) => ({
    ...at,
    kind: 'material-expired',
    said,
  }));
  if (campaignId === null) return { consentId: null, flags };
  if (work.operation.needsStatedReason && work.reason === null) {
    flags.push({ ...at, kind: 'reason-missing', said: { operation } });
  }
  // looking and testing come before there is anything to consent to
  if (work.operation.group === 'examine') return { consentId: null, flags };

  const { inForce, expired } = await consentsBy(tx, campaignId, work.happened);
  if (inForce.length === 0) {
    flags.push(
      expired === null
        ? { ...at, kind: 'done-before-consent', said: { operation, when } }
        : { ...at, kind: 'consent-expired', said: { operation, when, expired } },
    );
    return { consentId: null, flags };
  }
  const differs = differences(work, inForce);
  if (differs.length > 0) {
    flags.push({ ...at, kind: 'departure', said: { operation, differs: differs.join('; ') } });
  }
  flags.push(
    ...(await unmetConditions(tx, campaignId, inForce)).map((said) => ({
      ...at,
      kind: 'consent-condition-open' as const,
      said,
    })),
  );
  return {
    consentId: inForce.find((one) => differences(work, [one]).length === 0)?.consentId ?? null,
    flags,
  };
}

/** How it differs in extent, operation and material; empty when a consented line allows all of it. */
function differences(work: Work, consents: readonly ConsentThen[]): string[] {
  const lines = consents.flatMap((one) => one.lines);
  const told = new Set<string>();
  for (const mark of work.subjects) {
    const here = lines.filter((line) => line.subjects.some((place) => isWithin(mark, place)));
    if (here.length === 0) {
      told.add(`${mark} is not in what was consented`);
      continue;
    }
    const allowing = here.filter((line) => allowedOperations(line).includes(work.operation.key));
    if (allowing.length === 0) {
      const agreed = [...new Set(here.flatMap(allowedOperations))].map(
        (key) => operationOf(key)?.label ?? key,
      );
      told.add(`what was consented there is ${agreed.join(', ') || 'to leave it as it is'}`);
      continue;
    }
    for (const { name } of work.materials) {
      const agreed = allowing.map((line) => line.materials);
      if (agreed.some((names) => names.length === 0 || names.some((one) => isSame(one, name))))
        continue;
      told.add(`${name} was used, consented was ${[...new Set(agreed.flat())].join(', ')}`);
    }
  }
  return [...told].slice(0, 5);
}

function isSame(agreed: string, used: string): boolean {
  const [a, b] = [agreed, used].map((text) => text.toLowerCase().replace(/\s+/g, ' ').trim());
  return a!.includes(b!) || b!.includes(a!);
}

function expiredMaterials({ materials, happened }: Work, when: string) {
  const { first } = daysOf(happened);
  return materials.flatMap(({ name, batch, expires }) => {
    const last = expires === null ? null : daysOf(expires).last;
    if (expires === null || last === null || first === null || first <= last) return [];
    return [{ material: name, batch: batch ?? 'not given', expires, when }];
  });
}

/** Conditions that must be met before work begins; each is flagged once in a campaign. */
async function unmetConditions(tx: Tx, campaignId: string, inForce: readonly ConsentThen[]) {
  const due = (await openConditions(tx, campaignId)).filter(
    (one) =>
      one.due === 'before-work' && inForce.some(({ consentId }) => consentId === one.consentId),
  );
  if (due.length === 0) return [];
  const flagged = await tx.query<{ conditionId: string }>(
    `SELECT said ->> 'conditionId' AS condition_id FROM flag
     WHERE campaign_id = $1 AND kind = 'consent-condition-open'`,
    [campaignId],
    ['flag'],
  );
  const known = new Set(flagged.map((one) => one.conditionId));
  return due
    .filter(({ conditionId }) => !known.has(conditionId))
    .map(({ conditionId, text, given }) => ({ conditionId, condition: text, given }));
}
