import { Controller } from '@nestjs/common';
import {
  Archive,
  type CampaignRow,
  campaignQuantities,
  type EstimateRow,
  estimateView,
  learnedMinutes,
  siteMarkOf,
  unknown,
  writeEstimate,
} from '#libs/archive';
import { Db } from '#libs/db';
import { estimated, variation } from '#libs/estimate';
import { layoutPdf } from '#libs/print';
import { layOutEstimate } from '#libs/records';
import { inReadableSites, needOfStudio } from '../platform/actor.js';
import { Readable } from '../platform/readable.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { run } from '../platform/run.js';
import * as routes from './estimates.routes.js';

/** Prices and hours are for who records at the site, not for every reader. */
@Controller()
export class EstimatesController {
  constructor(
    private readonly archive: Archive,
    private readonly db: Db,
    private readonly readable: Readable,
  ) {}

  @Route(routes.listEstimates)
  async listEstimates(@Asked() { actor, params }: AskedFor<typeof routes.listEstimates>) {
    const { campaignId, siteId } = await this.readable.campaign(actor, params.campaignId);
    needOfStudio(actor, siteId);
    const rows = await this.archive.reads.query<EstimateRow>(
      'SELECT * FROM estimate WHERE campaign_id = $1 ORDER BY entry_seq DESC LIMIT 200',
      [campaignId],
    );
    return { items: rows.map(estimateView), variation: variationOf(rows), next: null };
  }

  @Route(routes.writeEstimate)
  writeEstimate(@Asked() asked: AskedFor<typeof routes.writeEstimate>) {
    return run(this.archive, writeEstimate, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.estimatePdf)
  async estimatePdf(@Asked() { actor, params, reply }: AskedFor<typeof routes.estimatePdf>) {
    const where = { AND: [{ estimateId: params.estimateId }, inReadableSites(actor)] };
    const row = await this.db.estimate.findFirst({ where });
    if (row === null) throw unknown('estimate');
    needOfStudio(actor, row.siteId);
    const site = await this.db.site.findUniqueOrThrow({ where: { siteId: row.siteId } });
    const { fingerprint } = await this.archive.keyInForce();
    const view = estimateView(row as EstimateRow);
    const paper = { siteMark: siteMarkOf(site), siteName: site.name, fingerprint, ...view };
    void reply
      .type('application/pdf')
      .header('Content-Disposition', 'inline; filename="estimate.pdf"');
    return Buffer.from(await layoutPdf(layOutEstimate(paper), row.recordedAt));
  }

  @Route(routes.campaignQuantities)
  async campaignQuantities(@Asked() { actor, params }: AskedFor<typeof routes.campaignQuantities>) {
    const row = (await this.readable.campaign(actor, params.campaignId)) as CampaignRow;
    needOfStudio(actor, row.siteId);
    const { reads, objects } = this.archive;
    const sites = inReadableSites(actor).siteId?.in ?? null;
    return {
      ...(await campaignQuantities(reads, objects, row)),
      minutes: await learnedMinutes(reads, sites),
    };
  }
}

function variationOf(rows: readonly EstimateRow[]) {
  const first = rows.find(({ stage }) => stage === 'first');
  const second = rows.find(({ stage }) => stage === 'second');
  if (first === undefined || second === undefined) return null;
  const [a, b] = [estimateView(first), estimateView(second)];
  if (a.terms.currency !== b.terms.currency) return null;
  const told = variation(
    estimated(a.alternatives[a.chosen]!, a.terms),
    estimated(b.alternatives[b.chosen]!, b.terms),
    b.terms.currency,
  );
  return { ...told, lines: [...told.lines] };
}
