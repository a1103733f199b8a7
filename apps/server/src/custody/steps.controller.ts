import { Controller } from '@nestjs/common';
import {
  Archive,
  liftPieces,
  protectOpening,
  rebuildCheck,
  rebuildSign,
  recordDismantling,
  recordRefix,
  recordRemoval,
  type WORK_STATES,
  type WorkStepRow,
  workStepView,
} from '#libs/archive';
import { Db } from '#libs/db';
import {
  notYetBelow,
  type PanelBearing,
  refixingOrder,
  removalOrder,
  stillOnTop,
  type WindowDrawing,
} from '#libs/elevation';
import { Readable } from '../platform/readable.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { run } from '../platform/run.js';
import * as routes from './steps.routes.js';

@Controller()
export class StepsController {
  constructor(
    private readonly archive: Archive,
    private readonly db: Db,
    private readonly readable: Readable,
  ) {}

  @Route(routes.windowSequence)
  async windowSequence(@Asked() { actor, params }: AskedFor<typeof routes.windowSequence>) {
    const { windowId, drawing } = await this.readable.window(actor, params.windowId);
    const rows = await this.db.panel.findMany({
      where: { windowId, retired: false },
      select: { panelId: true, mark: true, workState: true },
    });
    const byMark = new Map(rows.map((row) => [row.mark, row]));
    const isIn = (mark: string) => byMark.get(mark)?.workState === 'in-place';
    const steps = (order: readonly PanelBearing[], waitsFor: (mark: string) => string[]) =>
      order.flatMap((step) => {
        const row = byMark.get(step.mark);
        if (row === undefined) return [];
        const workState = row.workState as (typeof WORK_STATES)[number];
        return [{ ...step, panelId: row.panelId, workState, waitsFor: waitsFor(step.mark) }];
      });
    const out = removalOrder(drawing as WindowDrawing);
    const back = refixingOrder(drawing as WindowDrawing);
    return {
      removal: steps(out, (mark) => stillOnTop(out, mark, isIn)),
      refixing: steps(back, (mark) => notYetBelow(back, mark, isIn)),
      source: 'from the top down, from the bottom up: common practice, no source',
    };
  }

  @Route(routes.listSteps)
  async listSteps(@Asked() { actor, params }: AskedFor<typeof routes.listSteps>) {
    const { panelId } = await this.readable.panel(actor, params.panelId);
    const rows = await this.archive.reads.query<WorkStepRow>(
      'SELECT * FROM work_step WHERE panel_id = $1 ORDER BY entry_seq DESC',
      [panelId],
    );
    return { items: rows.map(workStepView), next: null };
  }

  @Route(routes.listProtections)
  async listProtections(@Asked() { actor, params }: AskedFor<typeof routes.listProtections>) {
    const { windowId } = await this.readable.window(actor, params.windowId);
    const rows = await this.archive.reads.query<WorkStepRow>(
      `SELECT * FROM work_step WHERE window_id = $1 AND kind = 'protect' ORDER BY entry_seq DESC`,
      [windowId],
    );
    return { items: rows.map(workStepView), next: null };
  }

  @Route(routes.protectOpening)
  protectOpening(@Asked() asked: AskedFor<typeof routes.protectOpening>) {
    return run(this.archive, protectOpening, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.recordRemoval)
  recordRemoval(@Asked() asked: AskedFor<typeof routes.recordRemoval>) {
    return run(this.archive, recordRemoval, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.liftPieces)
  liftPieces(@Asked() asked: AskedFor<typeof routes.liftPieces>) {
    return run(this.archive, liftPieces, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.recordDismantling)
  recordDismantling(@Asked() asked: AskedFor<typeof routes.recordDismantling>) {
    return run(this.archive, recordDismantling, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.rebuildCheck)
  rebuildCheck(@Asked() asked: AskedFor<typeof routes.rebuildCheck>) {
    return run(this.archive, rebuildCheck, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.rebuildSign)
  rebuildSign(@Asked() asked: AskedFor<typeof routes.rebuildSign>) {
    return run(this.archive, rebuildSign, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.recordRefix)
  recordRefix(@Asked() asked: AskedFor<typeof routes.recordRefix>) {
    return run(this.archive, recordRefix, { ...asked.body, ...asked.params }, asked);
  }
}
