import { Controller } from '@nestjs/common';
import {
  Archive,
  describeTechnique,
  type PieceTechniqueRow,
  pieceTechniqueView,
} from '#libs/archive';
import { Readable } from '../platform/readable.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { run } from '../platform/run.js';
import * as routes from './techniques.routes.js';

@Controller()
export class TechniquesController {
  constructor(
    private readonly archive: Archive,
    private readonly readable: Readable,
  ) {}

  @Route(routes.listTechniques)
  async listTechniques(@Asked() { actor, params }: AskedFor<typeof routes.listTechniques>) {
    const { panelId } = await this.readable.panel(actor, params.panelId);
    const rows = await this.archive.reads.query<PieceTechniqueRow>(
      `SELECT t.* FROM piece_technique t JOIN piece p USING (piece_id)
       WHERE t.panel_id = $1 AND NOT p.retired ORDER BY p.sort_key`,
      [panelId],
    );
    return { items: rows.map(pieceTechniqueView), next: null };
  }

  @Route(routes.describeTechnique)
  describeTechnique(@Asked() asked: AskedFor<typeof routes.describeTechnique>) {
    return run(this.archive, describeTechnique, { ...asked.body, ...asked.params }, asked);
  }
}
