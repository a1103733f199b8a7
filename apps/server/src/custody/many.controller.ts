import { Controller } from '@nestjs/common';
import {
  Archive,
  type Command,
  rebuildCheck,
  recordRefix,
  recordRemoval,
  type WorkStepRow,
  type Written,
  without,
} from '#libs/archive';
import { Db } from '#libs/db';
import {
  type PanelBearing,
  refixingOrder,
  removalOrder,
  type WindowDrawing,
} from '#libs/elevation';
import { Problem } from '#libs/problem';
import { type Actor, askingOf } from '../platform/actor.js';
import { Readable } from '../platform/readable.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import * as routes from './many.routes.js';

interface OnePanel {
  readonly panelId: string;
  readonly mark: string;
  readonly netRevision: number | null;
}

/**
 * One act over many panels of a window: a step and an entry for each, since each panel has a history of
 * its own. Whatever can be refused is looked at before the first is written.
 */
@Controller()
export class ManyController {
  constructor(
    private readonly archive: Archive,
    private readonly db: Db,
    private readonly readable: Readable,
  ) {}

  @Route(routes.removeMany)
  async removeMany(@Asked() asked: AskedFor<typeof routes.removeMany>) {
    const { panels, ...said } = asked.body;
    const inOrder = await this.panelsOf(asked, panels, removalOrder);
    return this.each(asked, recordRemoval, inOrder, () => said);
  }

  @Route(routes.cementMany)
  async cementMany(@Asked() asked: AskedFor<typeof routes.cementMany>) {
    const { panels, on, cureUntil, with: cement } = asked.body;
    const inOrder = await this.panelsOf(asked, panels, refixingOrder);
    const lists = await this.lists(inOrder);
    const cemented = { on, ...(cement === undefined ? {} : { with: cement }) };
    return this.each(asked, rebuildCheck, inOrder, ({ panelId }) => ({
      ...lists.get(panelId),
      cemented,
      cureUntil,
      happened: on,
    }));
  }

  @Route(routes.refixMany)
  async refixMany(@Asked() asked: AskedFor<typeof routes.refixMany>) {
    const { panels, ...said } = asked.body;
    const inOrder = await this.panelsOf(asked, panels, refixingOrder);
    return this.each(asked, recordRefix, inOrder, () => said);
  }

  /** @throws {Problem} `window-unknown`, `subject-unknown` */
  private async panelsOf(
    { actor, params }: { actor: Actor; params: { windowId: string } },
    marks: readonly string[],
    orderOf: (drawing: WindowDrawing) => readonly PanelBearing[],
  ): Promise<OnePanel[]> {
    const { windowId, mark, drawing } = await this.readable.window(actor, params.windowId);
    const rows = await this.db.panel.findMany({
      where: { windowId, retired: false },
      select: { panelId: true, mark: true, netRevision: true },
    });
    const byMark = new Map(rows.map((row) => [row.mark, row]));
    const stranger = marks.find((one) => !byMark.has(one));
    if (stranger !== undefined)
      throw new Problem(
        'subject-unknown',
        `panels: window ${mark} has no panel ${stranger}. Correct the mark; nothing was written.`,
        { field: 'panels', mark: stranger },
      );
    const wanted = new Set(marks);
    return orderOf(drawing as WindowDrawing).flatMap((step) =>
      wanted.has(step.mark) ? (byMark.get(step.mark) ?? []) : [],
    );
  }

  /**
   * The list of each rebuilt panel as it was said last, by panel; an empty one from its newest drawing
   * where nobody began it.
   *
   * @throws {Problem} `net-unknown`, `rebuild-closed`
   */
  private async lists(panels: readonly OnePanel[]): Promise<Map<string, object>> {
    const steps = await this.archive.reads.query<WorkStepRow>(
      `SELECT DISTINCT ON (panel_id) * FROM work_step
        WHERE panel_id = ANY ($1) AND kind = 'check' ORDER BY panel_id, entry_seq DESC`,
      [panels.map(({ panelId }) => panelId)],
    );
    const last = new Map(steps.map((step) => [step.panelId, step]));
    return new Map(
      panels.map(({ panelId, mark, netRevision }): [string, object] => {
        const step = last.get(panelId);
        if (step === undefined && netRevision === null)
          throw new Problem(
            'net-unknown',
            `${mark} has no lead drawing, and its list is made from it. Draw it first or leave it out; nothing was written.`,
            { field: 'panels', mark },
          );
        if (step === undefined) return [panelId, { revision: netRevision }];
        const list = without(step.detail as { closes: boolean; open: unknown }, 'open');
        if (list.closes)
          throw new Problem(
            'rebuild-closed',
            `The list of ${mark} is closed. Leave it out here and say it in its own list; nothing was written.`,
            { field: 'panels', mark },
          );
        return [panelId, { ...list, images: step.images }];
      }),
    );
  }

  private async each<B, P, A extends object, R>(
    { request, reply }: Pick<AskedFor<typeof routes.removeMany>, 'request' | 'reply'>,
    command: Command<B, P, A, R>,
    panels: readonly OnePanel[],
    said: (panel: OnePanel) => object,
  ) {
    const { idempotencyKey: key, ...asking } = askingOf(request);
    const items: (A & Written)[] = [];
    // One after the other: a panel may be moved because the one before it was.
    for (const panel of panels) {
      const input = { ...said(panel), panelId: panel.panelId };
      const own = key === undefined ? undefined : `${key} ${panel.mark}`;
      items.push(
        (await this.archive.run(command, input, { ...asking, idempotencyKey: own })).answer,
      );
    }
    void reply.status(201);
    return { items };
  }
}
