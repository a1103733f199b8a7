import { Inject, Injectable } from '@nestjs/common';
import { z } from 'zod';
import { getJson, RecentCache, Tx } from '#libs/archive';
import type { PgPool } from '#libs/db';
import type { Net } from '#libs/net';
import type { ObjectStore } from '#libs/objects';
import { OBJECTS, POOL } from '../../platform/tokens.js';
import type { Moment } from './moment.js';
import type { WindowPlace } from './panel-facts.js';
import { panelWork } from './work-then.js';

export const panelLeadsAnswer = z.object({
  mark: z.string().describe('of the panel: 2b'),
  leads: z.int(),
  profiles: z
    .record(z.string(), z.int())
    .describe('leads by the profile that a gauge at a cut end gave them'),
});
type PanelLeads = z.infer<typeof panelLeadsAnswer>;

/** Drawings whose counts are kept; a count is some hundred bytes. */
const KEPT_DRAWINGS = 4000;

/** Came profiles of the lead drawings that stood then. */
@Injectable()
export class LeadsReader {
  readonly #tx: Tx;
  readonly #drawings = new RecentCache<Omit<PanelLeads, 'mark'>>(KEPT_DRAWINGS);

  constructor(
    @Inject(POOL) pool: PgPool,
    @Inject(OBJECTS) private readonly objects: ObjectStore,
  ) {
    this.#tx = new Tx(pool);
  }

  async ofWindow(
    { siteId, windowId, fullMark }: WindowPlace,
    moment: Moment,
  ): Promise<PanelLeads[]> {
    const panels = await this.#tx.query<{ mark: string }>(
      `SELECT mark FROM panel WHERE site_id = $1 AND window_id = $2 AND NOT retired
       ORDER BY sort_key`,
      [siteId, windowId],
    );
    const marks = panels.map(({ mark }) => `${fullMark}.${mark}`);
    const { nets } = await panelWork(this.#tx, siteId, marks, moment);
    const found: PanelLeads[] = [];
    for (const { mark } of panels) {
      const net = nets.get(`${fullMark}.${mark}`);
      if (net !== undefined) found.push({ mark, ...(await this.#counted(net.digest)) });
    }
    return found;
  }

  async #counted(digest: string): Promise<Omit<PanelLeads, 'mark'>> {
    const known = this.#drawings.get(digest);
    if (known !== undefined) return known;
    // Checked when it was stored; its digest was checked on the way here.
    const { leads } = (await getJson(this.objects, digest)) as Pick<Net, 'leads'>;
    const profiles = new Map<string, number>();
    for (const { profile } of leads)
      if (profile !== null) profiles.set(profile, (profiles.get(profile) ?? 0) + 1);
    const counted = { leads: leads.length, profiles: Object.fromEntries(profiles) };
    this.#drawings.set(digest, counted);
    return counted;
  }
}
