import { Inject, Injectable } from '@nestjs/common';
import { type MediaRow, panelPlace, Tx } from '#libs/archive';
import type { PgPool } from '#libs/db';
import { POOL } from '../platform/tokens.js';

export interface WindowPanelRow {
  panelId: string;
  mark: string;
  ringMm: number[];
  workState: string;
  shows: string | null;
  pieces: number;
  findings: number;
  signedRevision: number | null;
  netRevision: number | null;
  lastHappened: string | null;
  retired: boolean;
  version: number;
}

export interface PanelCounts {
  pieces: number;
  provisional: number;
  findings: number;
  interventions: number;
  media: number;
  rubbings: number;
  nets: number;
}

/** Panels with what is counted about them, each in one query. */
@Injectable()
export class PanelsReader {
  readonly #tx: Tx;

  constructor(@Inject(POOL) pool: PgPool) {
    this.#tx = new Tx(pool);
  }

  ofWindow(siteId: string, windowId: string): Promise<WindowPanelRow[]> {
    return this.#tx.query<WindowPanelRow>(
      `WITH shown AS (SELECT * FROM panel WHERE site_id = $1 AND window_id = $2),
       p AS (SELECT panel_id, count(*) AS n FROM piece
             WHERE panel_id IN (SELECT panel_id FROM shown) AND NOT retired GROUP BY 1),
       f AS (SELECT panel_id, count(*) AS n, (array_agg(happened ORDER BY recorded_at DESC)
                      FILTER (WHERE happened IS NOT NULL))[1] AS last_happened
             FROM finding WHERE panel_id IN (SELECT panel_id FROM shown) AND state = 'recorded'
             GROUP BY 1)
       SELECT shown.panel_id, shown.mark, shown.ring_mm, shown.work_state, shown.shows,
              coalesce(p.n, 0) AS pieces, coalesce(f.n, 0) AS findings,
              shown.signed_revision, shown.net_revision, f.last_happened, shown.retired,
              shown.version
       FROM shown LEFT JOIN p USING (panel_id) LEFT JOIN f USING (panel_id)
       ORDER BY shown.sort_key`,
      [siteId, windowId],
    );
  }

  async fullMark(panelId: string): Promise<string> {
    return (await panelPlace(this.#tx, panelId)).fullMark;
  }

  /** Pictures of the panel and of what lies in it, newest first. */
  media(siteId: string, fullMark: string, most: number): Promise<MediaRow[]> {
    return this.#tx.query<MediaRow>(
      `SELECT * FROM media WHERE site_id = $1
         AND EXISTS (SELECT 1 FROM unnest(subjects) s WHERE s = $2 OR starts_with(s, $2 || '.'))
       ORDER BY recorded_at DESC, media_id DESC LIMIT $3`,
      [siteId, fullMark, most],
    );
  }

  async counts(siteId: string, panelId: string, fullMark: string): Promise<PanelCounts> {
    const row = await this.#tx.first<PanelCounts>(
      `SELECT
        (SELECT count(*) FROM piece WHERE panel_id = $2 AND NOT retired AND NOT provisional) AS pieces,
        (SELECT count(*) FROM piece WHERE panel_id = $2 AND NOT retired AND provisional) AS provisional,
        (SELECT count(*) FROM finding WHERE panel_id = $2 AND state = 'recorded') AS findings,
        (SELECT count(*) FROM intervention WHERE site_id = $1 AND state = 'recorded'
           AND EXISTS (SELECT 1 FROM unnest(subjects) s WHERE s = $3 OR starts_with(s, $3 || '.'))) AS interventions,
        (SELECT count(*) FROM media WHERE site_id = $1
           AND EXISTS (SELECT 1 FROM unnest(subjects) s WHERE s = $3 OR starts_with(s, $3 || '.'))) AS media,
        (SELECT count(*) FROM rubbing WHERE panel_id = $2) AS rubbings,
        (SELECT count(*) FROM net_revision WHERE panel_id = $2) AS nets`,
      [siteId, panelId, fullMark],
    );
    return row!;
  }
}
