import { Controller } from '@nestjs/common';
import { Readable } from '../platform/readable.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { NetFiles } from './net-files.js';
import * as routes from './net-files.routes.js';
import { NetRevisions } from './net-revisions.reader.js';

@Controller()
export class NetFilesController {
  constructor(
    private readonly readable: Readable,
    private readonly revisions: NetRevisions,
    private readonly files: NetFiles,
  ) {}

  @Route(routes.netFile)
  async netFile(@Asked() { actor, params, query, reply }: AskedFor<typeof routes.netFile>) {
    const panel = await this.readable.panel(actor, params.panelId);
    const row = await this.revisions.one(panel, params.revision);
    const { body, fileName } = await this.files.file(panel, row, params.file, query);
    void reply
      .type(routes.NET_FILES[params.file])
      .header('Content-Disposition', `inline; filename="${fileName}"`);
    return body;
  }

  @Route(routes.netStages)
  async netStages(@Asked() { actor, params }: AskedFor<typeof routes.netStages>) {
    const panel = await this.readable.panel(actor, params.panelId);
    const row = await this.revisions.one(panel, params.revision);
    return { items: await this.files.stages(row), next: null };
  }

  @Route(routes.netStage)
  async netStage(@Asked() { actor, params, reply }: AskedFor<typeof routes.netStage>) {
    const panel = await this.readable.panel(actor, params.panelId);
    const row = await this.revisions.one(panel, params.revision);
    void reply.type('image/jpeg');
    return this.files.stage(row, params.key);
  }
}
