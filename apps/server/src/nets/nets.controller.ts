import { Controller } from '@nestjs/common';
import {
  Archive,
  askExtraction,
  layPicture,
  netRevisionView,
  recordRubbing,
  reviseNet,
  rubbingView,
  signNet,
} from '#libs/archive';
import { Db } from '#libs/db';
import { Readable } from '../platform/readable.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { run } from '../platform/run.js';
import { NetFiles } from './net-files.js';
import * as routes from './nets.routes.js';

@Controller()
export class NetsController {
  constructor(
    private readonly archive: Archive,
    private readonly db: Db,
    private readonly readable: Readable,
    private readonly files: NetFiles,
  ) {}

  @Route(routes.listRubbings)
  async listRubbings(@Asked() { actor, params }: AskedFor<typeof routes.listRubbings>) {
    const { siteId, panelId } = await this.readable.panel(actor, params.panelId);
    const rows = await this.db.rubbing.findMany({
      where: { siteId, panelId },
      orderBy: { recordedAt: 'desc' },
    });
    return { items: rows.map(rubbingView), next: null };
  }

  @Route(routes.recordRubbing)
  recordRubbing(@Asked() asked: AskedFor<typeof routes.recordRubbing>) {
    return run(this.archive, recordRubbing, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.askExtraction)
  askExtraction(@Asked() asked: AskedFor<typeof routes.askExtraction>) {
    return run(this.archive, askExtraction, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.listNets)
  async listNets(@Asked() { actor, params }: AskedFor<typeof routes.listNets>) {
    const { siteId, panelId } = await this.readable.panel(actor, params.panelId);
    const rows = await this.db.netRevision.findMany({
      where: { siteId, panelId },
      orderBy: { revision: 'desc' },
    });
    return { items: rows.map(netRevisionView), next: null };
  }

  @Route(routes.net)
  async net(@Asked() { actor, params, reply }: AskedFor<typeof routes.net>) {
    const panel = await this.readable.panel(actor, params.panelId);
    const row = await this.files.revision(panel, params.revision);
    void reply.type('application/json').header('ETag', `"${params.revision}"`);
    return this.files.stored(row);
  }

  @Route(routes.netFile)
  async netFile(@Asked() { actor, params, reply }: AskedFor<typeof routes.netFile>) {
    const panel = await this.readable.panel(actor, params.panelId);
    const row = await this.files.revision(panel, params.revision);
    const { body, fileName } = await this.files.file(panel, row, params.file);
    void reply
      .type(routes.NET_FILES[params.file])
      .header('Content-Disposition', `inline; filename="${fileName}"`);
    return body;
  }

  @Route(routes.reviseNet)
  reviseNet(@Asked() asked: AskedFor<typeof routes.reviseNet>) {
    return run(this.archive, reviseNet, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.signNet)
  signNet(@Asked() asked: AskedFor<typeof routes.signNet>) {
    return run(this.archive, signNet, asked.params, asked);
  }

  @Route(routes.layPicture)
  layPicture(@Asked() asked: AskedFor<typeof routes.layPicture>) {
    return run(this.archive, layPicture, { ...asked.body, ...asked.params }, asked);
  }
}
