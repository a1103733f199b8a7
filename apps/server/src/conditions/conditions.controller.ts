import { Controller } from '@nestjs/common';
import {
  Archive,
  type ConditionRow,
  conditionView,
  recordCondition,
  withdrawCondition,
} from '#libs/archive';
import { Readable } from '../platform/readable.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { run } from '../platform/run.js';
import * as routes from './conditions.routes.js';

@Controller()
export class ConditionsController {
  constructor(
    private readonly archive: Archive,
    private readonly readable: Readable,
  ) {}

  @Route(routes.listConditions)
  async listConditions(@Asked() { actor, params }: AskedFor<typeof routes.listConditions>) {
    const { siteId, panelId } = await this.readable.panel(actor, params.panelId);
    const rows = await this.archive.reads.query<ConditionRow>(
      'SELECT * FROM condition WHERE site_id = $1 AND panel_id = $2 ORDER BY entry_seq DESC',
      [siteId, panelId],
    );
    return { items: rows.map(conditionView), next: null };
  }

  @Route(routes.recordCondition)
  recordCondition(@Asked() asked: AskedFor<typeof routes.recordCondition>) {
    return run(this.archive, recordCondition, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.withdrawCondition)
  withdrawCondition(@Asked() asked: AskedFor<typeof routes.withdrawCondition>) {
    return run(this.archive, withdrawCondition, { ...asked.body, ...asked.params }, asked);
  }
}
