import { Controller } from '@nestjs/common';
import {
  Archive,
  beginCampaign,
  type CampaignRow,
  campaignView,
  closeCampaign,
  extendCampaign,
  unknown,
} from '#libs/archive';
import { Db } from '#libs/db';
import { inReadableSites } from '../platform/actor.js';
import { Readable } from '../platform/readable.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { run } from '../platform/run.js';
import * as routes from './campaigns.routes.js';

@Controller()
export class CampaignsController {
  constructor(
    private readonly archive: Archive,
    private readonly db: Db,
    private readonly readable: Readable,
  ) {}

  @Route(routes.listCampaigns)
  async listCampaigns(@Asked() { actor, params }: AskedFor<typeof routes.listCampaigns>) {
    const { siteId } = await this.readable.site(actor, params.siteId);
    const rows = await this.archive.reads.query<CampaignRow>(
      'SELECT * FROM campaign WHERE site_id = $1 ORDER BY entry_seq DESC LIMIT 500',
      [siteId],
    );
    return { items: rows.map(campaignView), next: null };
  }

  @Route(routes.beginCampaign)
  beginCampaign(@Asked() asked: AskedFor<typeof routes.beginCampaign>) {
    return run(this.archive, beginCampaign, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.campaign)
  async campaign(@Asked() { actor, params }: AskedFor<typeof routes.campaign>) {
    const where = { AND: [{ campaignId: params.campaignId }, inReadableSites(actor)] };
    const row = await this.db.campaign.findFirst({ where });
    if (row === null) throw unknown('campaign');
    return campaignView(row as CampaignRow);
  }

  @Route(routes.extendCampaign)
  extendCampaign(@Asked() asked: AskedFor<typeof routes.extendCampaign>) {
    return run(this.archive, extendCampaign, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.closeCampaign)
  closeCampaign(@Asked() asked: AskedFor<typeof routes.closeCampaign>) {
    return run(this.archive, closeCampaign, { ...asked.body, ...asked.params }, asked);
  }
}
