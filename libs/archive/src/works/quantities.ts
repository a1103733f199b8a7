/** What an estimate is made of: quantities of a campaign, and minutes that earlier work took. */
import { learned, quantitiesFromArea, type Range } from '#libs/estimate';
import type { NetSummary } from '../net-summary.js';
import type { CampaignRow } from '../rows.js';
import type { Tx } from '../tx.js';
import { isWithin } from './common-mark.js';

const COUNTED = ['pieces', 'joints', 'leadMetres'] as const;
type Counted = (typeof COUNTED)[number];

export interface Quantities {
  /** from the lead drawings of the panels that have one */
  readonly drawn: { readonly panels: number; readonly areaM2: number } & Readonly<
    Record<Counted, number>
  >;
  /** from area × what stands on a square metre of the drawn panels of the site; null where none is drawn */
  readonly undrawn: {
    readonly panels: number;
    readonly areaM2: number;
    readonly expected: Readonly<Record<string, Range>> | null;
  };
  /** drawn panels of the site that the densities come from */
  readonly densitiesFrom: number;
}

interface Panel {
  fullMark: string;
  ringMm: number[];
  summary: NetSummary | null;
}

export async function campaignQuantities(
  tx: Tx,
  { siteId, scope }: CampaignRow,
): Promise<Quantities> {
  const panels = await tx.query<Panel>(
    `SELECT s.code || CASE WHEN coalesce(s.unit, '') = '' THEN '' ELSE ':' || s.unit END
            || '.' || w.mark || '.' || p.mark AS full_mark, p.ring_mm, n.summary
     FROM panel p JOIN "window" w USING (window_id) JOIN site s ON s.site_id = p.site_id
     LEFT JOIN net_revision n ON n.panel_id = p.panel_id AND n.revision = p.net_revision
     WHERE p.site_id = $1 AND NOT p.retired ORDER BY full_mark`,
    [siteId],
  );
  const counted = panels.map((panel) => ({
    isHere: scope.some((place) => isWithin(panel.fullMark, place)),
    areaMm2: panel.summary?.areaMm2 ?? ringAreaMm2(panel.ringMm),
    counts: panel.summary === null ? null : countsOf(panel.summary),
  }));
  const drawn = counted.filter(({ counts, areaMm2 }) => counts !== null && areaMm2 > 0);
  const here = drawn.filter(({ isHere }) => isHere);
  const undrawn = counted.filter(({ isHere, counts }) => isHere && counts === null);
  const areaOf = (some: readonly { areaMm2: number }[]) =>
    some.reduce((sum, { areaMm2 }) => sum + areaMm2, 0);
  const total = (what: Counted) => here.reduce((sum, { counts }) => sum + counts![what], 0);
  const perM2 = Object.fromEntries(
    drawn.length === 0
      ? []
      : COUNTED.map((what) => [
          what,
          learned(drawn.map(({ counts, areaMm2 }) => counts![what] / (areaMm2 / 1e6))),
        ]),
  );
  return {
    drawn: {
      panels: here.length,
      areaM2: areaOf(here) / 1e6,
      pieces: total('pieces'),
      joints: total('joints'),
      leadMetres: total('leadMetres'),
    },
    undrawn: {
      panels: undrawn.length,
      areaM2: areaOf(undrawn) / 1e6,
      expected: drawn.length === 0 ? null : quantitiesFromArea(areaOf(undrawn), perM2),
    },
    densitiesFrom: drawn.length,
  };
}

function countsOf({ pieces, joints, lengthMm }: NetSummary): Record<Counted, number> {
  return { pieces, joints, leadMetres: lengthMm / 1000 };
}

/** Flat x0, y0, … in mm; its area whichever way it runs round. */
function ringAreaMm2(ringMm: readonly number[]): number {
  let twice = 0;
  for (let i = 0; i < ringMm.length; i += 2) {
    const next = (i + 2) % ringMm.length;
    twice += ringMm[i]! * ringMm[next + 1]! - ringMm[next]! * ringMm[i + 1]!;
  }
  return Math.abs(twice) / 2;
}

export interface LearnedMinutes {
  readonly operation: string;
  /** for one mark that the work was recorded on */
  readonly minutesPerMark: Range;
  /** pieces of work that it was learned from */
  readonly from: number;
}

/** From campaigns that are closed. @param siteIds those that may be read; null: all */
export async function learnedMinutes(
  tx: Tx,
  siteIds: readonly string[] | null,
): Promise<LearnedMinutes[]> {
  const rows = await tx.query<{ operation: string; minutes: number }>(
    `SELECT i.operation, sum(t.minutes)::float / cardinality(i.subjects) AS minutes
     FROM work_time t JOIN intervention i USING (intervention_id) JOIN campaign c ON c.campaign_id = t.campaign_id
     WHERE c.state = 'closed' AND i.state = 'recorded' AND ($1::uuid[] IS NULL OR t.site_id = ANY($1))
     GROUP BY i.intervention_id, i.operation, i.subjects ORDER BY i.operation, i.intervention_id`,
    [siteIds],
  );
  const byOperation = new Map<string, number[]>();
  for (const { operation, minutes } of rows) {
    byOperation.set(operation, [...(byOperation.get(operation) ?? []), minutes]);
  }
  return [...byOperation].map(([operation, minutes]) => ({
    operation,
    minutesPerMark: learned(minutes),
    from: minutes.length,
  }));
}
