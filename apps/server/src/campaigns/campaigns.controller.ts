import { Controller } from '@nestjs/common';
import {
  Archive,
  beginCampaign,
  type CampaignRow,
  campaignProgress,
  campaignView,
  closeCampaign,
  extendCampaign,
  recordWorkTime,
  signatureView,
  signTreatment,
  type TreatmentSignatureRow,
  type WorkTimeRow,
  workTimeView,
} from '#libs/archive';
import { isOfStudio, needOfStudio } from '../platform/actor.js';
import { Readable } from '../platform/readable.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { run } from '../platform/run.js';
import * as routes from './campaigns.routes.js';

@Controller()
export class CampaignsController {
  constructor(
    private readonly archive: Archive,
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
    return campaignView((await this.readable.campaign(actor, params.campaignId)) as CampaignRow);
  }

  @Route(routes.extendCampaign)
  extendCampaign(@Asked() asked: AskedFor<typeof routes.extendCampaign>) {
    return run(this.archive, extendCampaign, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.closeCampaign)
  closeCampaign(@Asked() asked: AskedFor<typeof routes.closeCampaign>) {
    return run(this.archive, closeCampaign, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.campaignProgress)
  async campaignProgress(@Asked() { actor, params }: AskedFor<typeof routes.campaignProgress>) {
    const row = (await this.readable.campaign(actor, params.campaignId)) as CampaignRow;
    const today = new Date().toISOString().slice(0, 10);
    const progress = await campaignProgress(this.archive.reads, row, today);
    if (isOfStudio(actor, row.siteId)) return progress;
    return { ...progress, minutesDone: null, minutesExpected: null };
  }

  @Route(routes.listWorkTime)
  async listWorkTime(@Asked() { actor, params }: AskedFor<typeof routes.listWorkTime>) {
    const { campaignId, siteId } = await this.readable.campaign(actor, params.campaignId);
    needOfStudio(actor, siteId);
    const rows = await this.archive.reads.query<WorkTimeRow>(
      'SELECT * FROM work_time WHERE campaign_id = $1 ORDER BY entry_seq DESC LIMIT 1000',
      [campaignId],
    );
    return { items: rows.map(workTimeView), next: null };
  }

  @Route(routes.recordWorkTime)
  recordWorkTime(@Asked() asked: AskedFor<typeof routes.recordWorkTime>) {
    return run(this.archive, recordWorkTime, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.listSignatures)
  async listSignatures(@Asked() { actor, params }: AskedFor<typeof routes.listSignatures>) {
    const { panelId } = await this.readable.panel(actor, params.panelId);
    const rows = await this.archive.reads.query<TreatmentSignatureRow>(
      'SELECT * FROM treatment_signature WHERE panel_id = $1 ORDER BY entry_seq DESC',
      [panelId],
    );
    return { items: rows.map(signatureView), next: null };
  }

  @Route(routes.signTreatment)
  signTreatment(@Asked() asked: AskedFor<typeof routes.signTreatment>) {
    return run(this.archive, signTreatment, { ...asked.body, ...asked.params }, asked);
  }
}
