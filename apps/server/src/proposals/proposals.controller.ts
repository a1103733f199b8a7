import { Controller } from '@nestjs/common';
import {
  Archive,
  type ConsentRow,
  consentView,
  dischargeCondition,
  giveConsent,
  type ProposalRow,
  proposalView,
  recordConsent,
  sendProposal,
  siteMarkOf,
  unknown,
  writeProposal,
} from '#libs/archive';
import { Db } from '#libs/db';
import { layoutPdf } from '#libs/print';
import { layOutProposal } from '#libs/records';
import { type Actor, inReadableSites } from '../platform/actor.js';
import { Readable } from '../platform/readable.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { run } from '../platform/run.js';
import * as routes from './proposals.routes.js';

@Controller()
export class ProposalsController {
  constructor(
    private readonly archive: Archive,
    private readonly db: Db,
    private readonly readable: Readable,
  ) {}

  @Route(routes.listProposals)
  async listProposals(@Asked() { actor, params }: AskedFor<typeof routes.listProposals>) {
    const { campaignId } = await this.readable.campaign(actor, params.campaignId);
    const [items, consents] = await Promise.all([
      this.archive.reads.query<ProposalRow>(
        'SELECT * FROM proposal WHERE campaign_id = $1 ORDER BY entry_seq DESC',
        [campaignId],
      ),
      this.archive.reads.query<ConsentRow>(
        'SELECT * FROM consent WHERE campaign_id = $1 ORDER BY entry_seq DESC',
        [campaignId],
      ),
    ]);
    return { items: items.map(proposalView), consents: consents.map(consentView), next: null };
  }

  @Route(routes.writeProposal)
  writeProposal(@Asked() asked: AskedFor<typeof routes.writeProposal>) {
    return run(this.archive, writeProposal, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.proposal)
  async proposal(@Asked() { actor, params }: AskedFor<typeof routes.proposal>) {
    return proposalView(await this.issue(actor, params.issueId));
  }

  @Route(routes.proposalPdf)
  async proposalPdf(@Asked() { actor, params, reply }: AskedFor<typeof routes.proposalPdf>) {
    const row = await this.issue(actor, params.issueId);
    const site = await this.db.site.findUniqueOrThrow({ where: { siteId: row.siteId } });
    const { fingerprint } = await this.archive.keyInForce();
    const pdf = await layoutPdf(
      layOutProposal({
        siteMark: siteMarkOf(site),
        siteName: site.name,
        ...proposalView(row),
        fingerprint,
      }),
      row.recordedAt,
    );
    void reply
      .type('application/pdf')
      .header('Content-Disposition', `inline; filename="proposal-${row.issue}.pdf"`);
    return Buffer.from(pdf);
  }

  @Route(routes.sendProposal)
  sendProposal(@Asked() asked: AskedFor<typeof routes.sendProposal>) {
    return run(this.archive, sendProposal, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.giveConsent)
  giveConsent(@Asked() asked: AskedFor<typeof routes.giveConsent>) {
    return run(this.archive, giveConsent, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.recordConsent)
  recordConsent(@Asked() asked: AskedFor<typeof routes.recordConsent>) {
    return run(this.archive, recordConsent, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.dischargeCondition)
  dischargeCondition(@Asked() asked: AskedFor<typeof routes.dischargeCondition>) {
    return run(this.archive, dischargeCondition, { ...asked.body, ...asked.params }, asked);
  }

  private async issue(actor: Actor, issueId: string): Promise<ProposalRow> {
    const where = { AND: [{ issueId }, inReadableSites(actor)] };
    const row = await this.db.proposal.findFirst({ where });
    if (row === null) throw unknown('proposal');
    return row as ProposalRow;
  }
}
