import { Controller } from '@nestjs/common';
import {
  Archive,
  type DeflectionRow,
  daysAsRecorded,
  deflectionView,
  drawingInForce,
  panelOutline,
  panelPlace,
  recordDeflection,
  unknown,
  withdrawDeflection,
} from '#libs/archive';
import {
  bulgeChange,
  bulgeFigures,
  bulgeSurface,
  contourChartSvg,
  type Heights,
  heightsOf,
  type Reading,
} from '#libs/structure';
import type { Actor } from '../platform/actor.js';
import { Readable } from '../platform/readable.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { run } from '../platform/run.js';
import * as routes from './deflections.routes.js';

@Controller()
export class DeflectionsController {
  constructor(
    private readonly archive: Archive,
    private readonly readable: Readable,
  ) {}

  @Route(routes.listDeflections)
  async listDeflections(@Asked() { actor, params }: AskedFor<typeof routes.listDeflections>) {
    const { siteId, panelId } = await this.readable.panel(actor, params.panelId);
    const rows = await this.archive.reads.query<DeflectionRow>(
      'SELECT * FROM deflection WHERE site_id = $1 AND panel_id = $2 ORDER BY entry_seq DESC',
      [siteId, panelId],
    );
    return { items: rows.map(deflectionView), next: null };
  }

  @Route(routes.recordDeflection)
  recordDeflection(@Asked() asked: AskedFor<typeof routes.recordDeflection>) {
    return run(this.archive, recordDeflection, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.withdrawDeflection)
  withdrawDeflection(@Asked() asked: AskedFor<typeof routes.withdrawDeflection>) {
    return run(this.archive, withdrawDeflection, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.deflectionChart)
  async deflectionChart(
    @Asked() { actor, params, reply }: AskedFor<typeof routes.deflectionChart>,
  ) {
    const row = await this.#one(actor, params.deflectionId);
    const { reads, objects } = this.archive;
    const heights = await this.#heights(row);
    const place = await panelPlace(reads, row.panelId);
    const { fullMark } = place;
    const drawn = await drawingInForce({ tx: reads, objects }, place);
    const leadsMm = drawn?.net.leads.map(({ lineMm }) => lineMm) ?? [];
    void reply.type('image/svg+xml');
    return contourChartSvg(heights, bulgeFigures(heights), {
      leadsMm,
      caption: [`${fullMark}, ${row.happened}, over the plane of its edges, seen from inside`],
    });
  }

  @Route(routes.deflectionChange)
  async deflectionChange(
    @Asked() { actor, params, query }: AskedFor<typeof routes.deflectionChange>,
  ) {
    const row = await this.#one(actor, params.deflectionId);
    const before =
      query.since === undefined ? await this.#before(row) : await this.#one(actor, query.since);
    if (before === undefined || before.panelId !== row.panelId) {
      if (query.since !== undefined) throw unknown('deflection');
      return { since: null, change: null };
    }
    const [earlier, later] = [await this.#heights(before), await this.#heights(row)];
    return {
      since: { deflectionId: before.deflectionId, happened: before.happened },
      change: bulgeChange(earlier, later),
    };
  }

  async #one(actor: Actor, deflectionId: string): Promise<DeflectionRow> {
    const row = await this.archive.reads.first<DeflectionRow>(
      'SELECT * FROM deflection WHERE deflection_id = $1',
      [deflectionId],
    );
    if (row === undefined) throw unknown('deflection');
    await this.readable.panel(actor, row.panelId);
    return row;
  }

  /** Of the readings that stand, the ones of the latest day before. */
  async #before(row: DeflectionRow): Promise<DeflectionRow | undefined> {
    const rows = await this.archive.reads.query<DeflectionRow>(
      `SELECT * FROM deflection WHERE panel_id = $1 AND state = 'recorded' AND deflection_id <> $2`,
      [row.panelId, row.deflectionId],
    );
    const dayOf = ({ happened, recordedAt }: DeflectionRow) =>
      daysAsRecorded(happened, recordedAt).last ?? '';
    return rows
      .filter((one) => dayOf(one) < dayOf(row))
      .sort((a, b) => (dayOf(a) < dayOf(b) ? 1 : -1))[0];
  }

  async #heights(row: DeflectionRow): Promise<Heights> {
    const { reads: tx, objects } = this.archive;
    const outlineMm = await panelOutline({ tx, objects }, row.panelId);
    const readings = row.readings as readonly Reading[];
    return heightsOf(bulgeSurface(readings, { outlineMm, noiseMm: row.noiseMm }));
  }
}
