import { Controller } from '@nestjs/common';
import {
  Archive,
  drawingInForce,
  type PanelRow,
  panelPlace,
  recordVersion,
  sitePlace,
  tightOf,
  unknown,
} from '#libs/archive';
import { leadRows } from '#libs/custody';
import { Db } from '#libs/db';
import {
  openingRingMm,
  panelGrid,
  refixingOrder,
  removalOrder,
  type WindowDrawing,
} from '#libs/elevation';
import { compareNames } from '#libs/net';
import { checklistPdf } from '#libs/print';
import {
  type Checklist,
  type ChecklistAbout,
  type ChecklistDrawing,
  dismantlingChecklist,
  rebuildChecklist,
  refixingChecklist,
  removalChecklist,
} from '#libs/records';
import { Readable } from '../platform/readable.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { WeightsReader } from '../surveys/weights.reader.js';
import * as routes from './checklists.routes.js';

/** Lists on paper, for places where nobody holds a phone. */
@Controller()
export class ChecklistsController {
  constructor(
    private readonly archive: Archive,
    private readonly db: Db,
    private readonly readable: Readable,
    private readonly weights: WeightsReader,
  ) {}

  @Route(routes.windowChecklist)
  async windowChecklist(
    @Asked() { actor, params, reply }: AskedFor<typeof routes.windowChecklist>,
  ) {
    const window = await this.readable.window(actor, params.windowId);
    const { siteMark } = await sitePlace(this.archive.reads, window.siteId);
    const weighed = new Map(
      (await this.weights.ofWindow(window.windowId)).map((one) => [one.mark, one.kg]),
    );
    const drawing = window.drawing as WindowDrawing;
    const about = await this.#about(window.siteId, `${siteMark}.${window.mark}`, {
      kind: 'window',
      openingRingMm: openingRingMm(drawing.opening),
      panels: panelGrid(drawing),
    });
    const order = params.list === 'removal' ? removalOrder(drawing) : refixingOrder(drawing);
    const panels = order.flatMap((panel) => {
      const liftKg = weighed.get(panel.mark);
      return liftKg === undefined ? [] : [{ ...panel, liftKg }];
    });
    const listed = params.list === 'removal' ? removalChecklist : refixingChecklist;
    void headed(reply, `${about.mark.replaceAll(':', '-')}-${params.list}`);
    return this.#pdf(listed(about, panels), about);
  }

  @Route(routes.panelChecklist)
  async panelChecklist(@Asked() { actor, params, reply }: AskedFor<typeof routes.panelChecklist>) {
    const panel = (await this.readable.panel(actor, params.panelId)) as PanelRow;
    const { fullMark } = await panelPlace(this.archive.reads, panel.panelId);
    const { reads: tx, objects } = this.archive;
    const drawn = await drawingInForce({ tx, objects }, panel);
    if (drawn === undefined) throw unknown('net');
    const { net } = drawn;
    const about = await this.#about(panel.siteId, fullMark, { kind: 'panel', net });
    const pieces = net.pieces.map(({ pieceId }) => pieceId).sort(compareNames);
    const leads = leadRows(net);
    void headed(reply, `${fullMark.replaceAll(':', '-')}-${params.list}`);
    return this.#pdf(
      params.list === 'dismantling'
        ? dismantlingChecklist(about, pieces, leads)
        : rebuildChecklist(about, pieces, leads, tightOf(panel.sizes)),
      about,
    );
  }

  async #about(siteId: string, mark: string, drawing: ChecklistDrawing): Promise<ChecklistAbout> {
    const site = await this.db.site.findUniqueOrThrow({ where: { siteId } });
    const { recordedAt } = await recordVersion(this.archive.reads, siteId, mark);
    return { mark, siteName: site.name, asOf: recordedAt!.slice(0, 10), drawing };
  }

  async #pdf(list: Checklist, { asOf }: ChecklistAbout): Promise<Buffer> {
    return Buffer.from(await checklistPdf(list, new Date(`${asOf}T00:00:00Z`)));
  }
}

function headed(reply: AskedFor<typeof routes.windowChecklist>['reply'], name: string) {
  return reply
    .type('application/pdf')
    .header('Content-Disposition', `inline; filename="${name}.pdf"`);
}
