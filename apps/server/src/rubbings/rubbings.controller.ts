import { Controller } from '@nestjs/common';
import { Archive, askExtraction, recordRubbing, rubbingView } from '#libs/archive';
import { Db } from '#libs/db';
import { Readable } from '../platform/readable.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { run } from '../platform/run.js';
import * as routes from './rubbings.routes.js';

@Controller()
export class RubbingsController {
  constructor(
    private readonly archive: Archive,
    private readonly db: Db,
    private readonly readable: Readable,
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
}
