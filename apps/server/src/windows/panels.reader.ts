import { Inject, Injectable } from '@nestjs/common';
import { type MediaRow, panelPlace, subjectsAt, Tx } from '#libs/archive';
import type { PgPool } from '#libs/db';
import { momentKey, type PageQuery, page, readCursor } from '../platform/paging.js';
import { POOL } from '../platform/tokens.js';

export interface PanelCounts {
  pieces: number;
  provisional: number;
  findings: number;
  interventions: number;
  media: number;
  /** of the media, what is no document */
  pictures: number;
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

  /**
   * A page of the pictures of the panel and of what lies in it, newest first.
   * @throws {Problem} `request-invalid` for an `after` that this list did not give out
   */
  async media(
    siteId: string,
    fullMark: string,
    { after, limit }: PageQuery,
  ): Promise<{ items: MediaRow[]; next: string | null }> {
    const [at, mediaId] = readCursor(after, momentKey) ?? [null, null];
    const rows = await this.#tx.query<MediaRow>(
      `SELECT * FROM media WHERE site_id = $1
         AND ${subjectsAt('$2')}
         AND ($3::timestamptz IS NULL OR (recorded_at, media_id) < ($3, $4::uuid))
       ORDER BY recorded_at DESC, media_id DESC LIMIT $5`,
      [siteId, fullMark, at, mediaId, limit + 1],
    );
    return page(rows, limit, (row) => [row.recordedAt.toISOString(), row.mediaId]);
  }

  /**
   * Of the pictures that follow a place in that list, those that work at the panel rests on: laid under
   * it, or of its rubbing. Newest first.
   * @param after `next` of a page of `media`
   */
  mediaInUse(
    siteId: string,
    panelId: string,
    fullMark: string,
    after: string,
  ): Promise<MediaRow[]> {
    const [at, mediaId] = readCursor(after, momentKey)!;
    return this.#tx.query<MediaRow>(
      `SELECT * FROM media m WHERE site_id = $1
         AND ${subjectsAt('$2')}
         AND (recorded_at, media_id) < ($3::timestamptz, $4::uuid)
         AND (kind = 'rubbing'
           OR EXISTS (SELECT 1 FROM placement p WHERE p.panel_id = $5 AND p.media_id = m.media_id))
       ORDER BY recorded_at DESC, media_id DESC`,
      [siteId, fullMark, at, mediaId, panelId],
    );
  }

  async counts(siteId: string, panelId: string, fullMark: string): Promise<PanelCounts> {
    const row = await this.#tx.first<PanelCounts>(
      `WITH shown AS MATERIALIZED (
         SELECT kind FROM media WHERE site_id = $1
           AND ${subjectsAt('$3')})
       SELECT
        (SELECT count(*) FROM piece WHERE panel_id = $2 AND NOT retired AND NOT provisional) AS pieces,
        (SELECT count(*) FROM piece WHERE panel_id = $2 AND NOT retired AND provisional) AS provisional,
        (SELECT count(*) FROM finding WHERE panel_id = $2 AND state = 'recorded') AS findings,
        (SELECT count(*) FROM intervention WHERE site_id = $1 AND state = 'recorded'
           AND ${subjectsAt('$3')}) AS interventions,
        (SELECT count(*) FROM shown) AS media,
        (SELECT count(*) FROM shown WHERE kind <> 'document') AS pictures,
        (SELECT count(*) FROM rubbing WHERE panel_id = $2) AS rubbings,
        (SELECT count(*) FROM net_revision WHERE panel_id = $2) AS nets`,
      [siteId, panelId, fullMark],
    );
    return row!;
  }
}
