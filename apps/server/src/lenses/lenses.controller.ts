import { Controller } from '@nestjs/common';
import { Archive, askLensCalibration, lensCalibrationView } from '#libs/archive';
import { Db } from '#libs/db';
import { Problem } from '#libs/problem';
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
  targetSheet(@Asked() { params }: AskedFor<typeof routes.targetSheet>): never {
    throw new Problem('archive-unavailable', `There is no target sheet for ${params.paper} yet.`);
  }
}
