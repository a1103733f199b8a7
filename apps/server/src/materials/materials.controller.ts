import { Controller } from '@nestjs/common';
import {
  Archive,
  countMaterial,
  enterMaterial,
  type MaterialRow,
  materialView,
} from '#libs/archive';
import { addDecimals, negated } from '#libs/estimate';
import { needRecorderSomewhere } from '../platform/recorder-somewhere.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { run } from '../platform/run.js';
import * as routes from './materials.routes.js';

@Controller()
export class MaterialsController {
  constructor(private readonly archive: Archive) {}

  /** To whoever may record work somewhere: it is taken from the register there. */
  @Route(routes.listMaterials)
  async listMaterials(@Asked() { actor, query }: AskedFor<typeof routes.listMaterials>) {
    needRecorderSomewhere(actor);
    const rows = await this.archive.reads.query<MaterialRow & { used: string }>(
      `SELECT m.*, coalesce(u.used, '0') AS used FROM material m
       LEFT JOIN (SELECT material_id, sum(quantity::numeric)::text AS used FROM material_use
                  GROUP BY material_id) u USING (material_id)
       WHERE $1::text IS NULL OR m.state = $1 ORDER BY m.name, m.entry_seq DESC LIMIT 1000`,
      [query.state === 'all' ? null : query.state],
    );
    const items = rows.map((row) =>
      materialView(row, addDecimals(row.quantity, negated(row.used))),
    );
    return { items, next: null };
  }

  @Route(routes.enterMaterial)
  enterMaterial(@Asked() asked: AskedFor<typeof routes.enterMaterial>) {
    return run(this.archive, enterMaterial, asked.body, asked);
  }

  @Route(routes.countMaterial)
  countMaterial(@Asked() asked: AskedFor<typeof routes.countMaterial>) {
    return run(this.archive, countMaterial, { ...asked.body, ...asked.params }, asked);
  }
}
