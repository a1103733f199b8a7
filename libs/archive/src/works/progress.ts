/** How far a campaign is, as one honest number, and what stands in the way. */

import { openFlags } from '../flags.js';
import type { CampaignRow, EstimateRow } from '../rows.js';
import type { Tx } from '../tx.js';
import { estimateView } from '../views/estimate-view.js';
import { isWithin } from './common-mark.js';
import { consentsBy } from './consents-by.js';
import { openConditions } from './open-conditions.js';

export interface Progress {
  readonly minutesDone: number;
  /** of the newest estimate; null where none was made */
  readonly minutesExpected: {
    readonly low: number;
    readonly likely: number;
    readonly high: number;
  } | null;
  readonly openFlags: number;
  /** full marks of the scope, or of panels in it, that no consent covers today */
  readonly withoutConsent: readonly string[];
  readonly openConditions: readonly {
    readonly consentId: string;
    readonly conditionId: string;
    readonly text: string;
  }[];
  /** panels of the scope by their state of work */
  readonly panels: Readonly<Record<string, number>>;
}

/** @param today YYYY-MM-DD */
export async function campaignProgress(tx: Tx, row: CampaignRow, today: string): Promise<Progress> {
  const { siteId, campaignId, scope } = row;
  const done = await tx.first<{ minutes: number }>(
    'SELECT coalesce(sum(minutes), 0)::int AS minutes FROM work_time WHERE campaign_id = $1',
    [campaignId],
  );
  const panels = await tx.query<{ fullMark: string; workState: string }>(
    `SELECT * FROM (
       SELECT s.code || CASE WHEN coalesce(s.unit, '') = '' THEN '' ELSE ':' || s.unit END
              || '.' || w.mark || '.' || p.mark AS full_mark, p.work_state, w.sort_key AS window_key, p.sort_key
       FROM panel p JOIN "window" w USING (window_id) JOIN site s ON s.site_id = p.site_id
       WHERE p.site_id = $1 AND NOT p.retired) marked
     ORDER BY window_key, sort_key`,
    [siteId],
  );
  const inScope = panels.filter(({ fullMark }) => scope.some((place) => isWithin(fullMark, place)));
  const { inForce } = await consentsBy(tx, campaignId, today);
  const consented = inForce.flatMap((one) => one.lines).flatMap((line) => line.subjects);
  const conditions = await openConditions(tx, campaignId);
  const byState: Record<string, number> = {};
  for (const { workState } of inScope) byState[workState] = (byState[workState] ?? 0) + 1;
  return {
    minutesDone: done!.minutes,
    minutesExpected: await minutesExpected(tx, campaignId),
    openFlags: (await openFlags(tx, { siteId, campaignId })).length,
    withoutConsent: inScope
      .map(({ fullMark }) => fullMark)
      .filter((mark) => !consented.some((place) => isWithin(mark, place) || isWithin(place, mark))),
    openConditions: conditions.map(({ consentId, conditionId, text }) => ({
      consentId,
      conditionId,
      text,
    })),
    panels: byState,
  };
}

async function minutesExpected(tx: Tx, campaignId: string): Promise<Progress['minutesExpected']> {
  const row = await tx.first<EstimateRow>(
    'SELECT * FROM estimate WHERE campaign_id = $1 ORDER BY entry_seq DESC LIMIT 1',
    [campaignId],
  );
  if (row === undefined) return null;
  const { minutes } = estimateView(row).alternatives[row.chosen]!;
  return {
    low: Math.round(minutes.low),
    likely: Math.round(minutes.likely),
    high: Math.round(minutes.high),
  };
}
