/** What an estimate is made of: the quantities of a campaign, drawn and expected. */
import { learned, quantitiesFromArea, type Range } from '#libs/estimate';
import { pointsOfFlat, ringAreaMm2 } from '#libs/net';
import type { ObjectStore } from '#libs/objects';
import type { NetSummary } from '../net-summary.js';
import type { CampaignRow } from '../rows.js';
import type { Tx } from '../tx.js';
import { isWithin } from './common-mark.js';
import { type DrawnParts, drawnParts } from './drawn-parts.js';

type Counted = 'pieces' | 'joints' | 'leadMetres';

export interface Quantities {
  /** from the lead drawings of the panels that have one */
  readonly drawn: { readonly panels: number; readonly areaM2: number } & Readonly<
    Record<Counted, number>
  > &
    DrawnParts;
  /** from area × what stands on a square metre of the drawn panels of the site; null where none is drawn */
  readonly undrawn: {
    readonly panels: number;
    readonly areaM2: number;
    readonly expected: Readonly<Record<string, Range>> | null;
  };
  /** on a square metre of the drawn panels of the site; null where none is drawn */
  readonly densities: Readonly<Record<Counted, Range>> | null;
  /** drawn panels of the site that the densities come from */
  readonly densitiesFrom: number;
}

interface Panel {
  fullMark: string;
  objectDigest: string | null;
  ringMm: number[];
  summary: NetSummary | null;
}

export async function campaignQuantities(
  tx: Tx,
  objects: ObjectStore,
  { siteId, scope }: CampaignRow,
): Promise<Quantities> {
  const panels = await tx.query<Panel>(
    `SELECT s.code || CASE WHEN coalesce(s.unit, '') = '' THEN '' ELSE ':' || s.unit END
            || '.' || w.mark || '.' || p.mark AS full_mark, p.ring_mm, n.summary, n.object_digest
     FROM panel p JOIN "window" w USING (window_id) JOIN site s ON s.site_id = p.site_id
     LEFT JOIN net_revision n ON n.panel_id = p.panel_id AND n.revision = p.net_revision
     WHERE p.site_id = $1 AND NOT p.retired ORDER BY full_mark`,
    [siteId],
  );
  const counted = panels.map((panel) => ({
    digest: panel.objectDigest,
    isHere: scope.some((place) => isWithin(panel.fullMark, place)),
    areaMm2: panel.summary?.areaMm2 ?? Math.abs(ringAreaMm2(pointsOfFlat(panel.ringMm))),
    counts: panel.summary === null ? null : countsOf(panel.summary),
  }));
  const drawn = counted.filter(({ counts, areaMm2 }) => counts !== null && areaMm2 > 0);
  const here = drawn.filter(({ isHere }) => isHere);
  const undrawn = counted.filter(({ isHere, counts }) => isHere && counts === null);
  const areaOf = (some: readonly { areaMm2: number }[]) =>
    some.reduce((sum, { areaMm2 }) => sum + areaMm2, 0);
  const total = (what: Counted) => here.reduce((sum, { counts }) => sum + counts![what], 0);
  const densityOf = (what: Counted) =>
    learned(drawn.map(({ counts, areaMm2 }) => counts![what] / (areaMm2 / 1e6)));
  const densities =
    drawn.length === 0
      ? null
      : {
          pieces: densityOf('pieces'),
          joints: densityOf('joints'),
          leadMetres: densityOf('leadMetres'),
        };
  return {
    drawn: {
      panels: here.length,
      areaM2: areaOf(here) / 1e6,
      pieces: total('pieces'),
      joints: total('joints'),
      leadMetres: total('leadMetres'),
      ...(await drawnParts(
        objects,
        here.map(({ digest }) => digest!),
      )),
    },
    undrawn: {
      panels: undrawn.length,
      areaM2: areaOf(undrawn) / 1e6,
      expected: densities === null ? null : quantitiesFromArea(areaOf(undrawn), densities),
    },
    densities,
    densitiesFrom: drawn.length,
  };
}

function countsOf({ pieces, joints, lengthMm }: NetSummary): Record<Counted, number> {
  return { pieces, joints, leadMetres: lengthMm / 1000 };
}
