import { Inject, Injectable } from '@nestjs/common';
import { type MediaRow, panelPlace, Tx } from '#libs/archive';
import type { PgPool } from '#libs/db';
import { POOL } from '../platform/tokens.js';

export interface PanelCounts {
  pieces: number;
  provisional: number;
  findings: number;
  interventions: number;
  media: number;
  rubbings: number;
  nets: number;
}

/** What is counted about a panel, and its pictures. */
@Injectable()
export class PanelsReader {
  readonly #tx: Tx;

  constructor(@Inject(POOL) pool: PgPool) {
    this.#tx = new Tx(pool);
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
