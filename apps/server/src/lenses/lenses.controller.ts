import { Controller } from '@nestjs/common';
import { Archive, askLensCalibration, lensCalibrationView } from '#libs/archive';
import { Db } from '#libs/db';
import { targetSheetPdf } from '#libs/print';
import { inReadableSites } from '../platform/actor.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { run } from '../platform/run.js';
import * as routes from './lenses.routes.js';

const LIST_MAX = 500;

@Controller()
export class LensesController {
  constructor(
    private readonly archive: Archive,
    private readonly db: Db,
  ) {}

  @Route(routes.listLensCalibrations)
  async listLensCalibrations(@Asked() { actor }: AskedFor<typeof routes.listLensCalibrations>) {
    const rows = await this.db.lensCalibration.findMany({
      where: inReadableSites(actor),
      orderBy: [{ recordedAt: 'desc' }, { calibrationId: 'desc' }],
      take: LIST_MAX,
    });
    return { items: rows.map(lensCalibrationView), next: null };
  }

  @Route(routes.askLensCalibration)
  askLensCalibration(@Asked() asked: AskedFor<typeof routes.askLensCalibration>) {
    return run(this.archive, askLensCalibration, asked.body, asked);
  }

  @Route(routes.targetSheet)
  async targetSheet(@Asked() { params, reply }: AskedFor<typeof routes.targetSheet>) {
    void reply
      .type('application/pdf')
      .header('Content-Disposition', `inline; filename="target-sheet-${params.paper}.pdf"`);
    return Buffer.from(await targetSheetPdf(params.paper));
  }
}
