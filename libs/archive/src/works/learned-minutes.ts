/** Minutes that the studio's own work took, from campaigns that are closed. */
import { learned, type Range } from '#libs/estimate';
import type { Tx } from '../tx.js';

export interface LearnedMinutes {
  readonly operation: string;
  /** for one mark that the work was recorded on */
  readonly minutesPerMark: Range;
  /** pieces of work that it was learned from */
  readonly from: number;
  /** closed campaigns in which they were done */
  readonly campaigns: number;
}

/** @param siteIds those that may be read; null: all */
export async function learnedMinutes(
  tx: Tx,
  siteIds: readonly string[] | null,
): Promise<LearnedMinutes[]> {
  const rows = await tx.query<{ operation: string; campaignId: string; minutes: number }>(
    `SELECT i.operation, t.campaign_id, sum(t.minutes)::float / cardinality(i.subjects) AS minutes
     FROM work_time t JOIN intervention i USING (intervention_id) JOIN campaign c ON c.campaign_id = t.campaign_id
     WHERE c.state = 'closed' AND i.state = 'recorded' AND ($1::uuid[] IS NULL OR t.site_id = ANY($1))
     GROUP BY i.intervention_id, i.operation, i.subjects, t.campaign_id
     ORDER BY i.operation, i.intervention_id`,
    [siteIds],
  );
  type Work = (typeof rows)[number];
  const byOperation = new Map<string, Work[]>();
  for (const work of rows) {
    byOperation.set(work.operation, [...(byOperation.get(work.operation) ?? []), work]);
  }
  return [...byOperation].map(([operation, works]) => ({
    operation,
    minutesPerMark: learned(works.map(({ minutes }) => minutes)),
    from: works.length,
    campaigns: new Set(works.map(({ campaignId }) => campaignId)).size,
  }));
}
