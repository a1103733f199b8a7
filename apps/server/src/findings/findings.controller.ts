import { Controller } from '@nestjs/common';
import {
  Archive,
  findingView,
  type InterventionRow,
  interventionView,
  recordFinding,
  recordIntervention,
  reviseFinding,
  siteMarkOf,
  subjectsAt,
  unknown,
  withdrawFinding,
} from '#libs/archive';
import { Db } from '#libs/db';
import { inReadableSites } from '../platform/actor.js';
import { momentKey, page, readCursor } from '../platform/paging.js';
import { Readable } from '../platform/readable.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { run } from '../platform/run.js';
import * as routes from './findings.routes.js';

@Controller()
export class FindingsController {
  constructor(
    private readonly archive: Archive,
    private readonly db: Db,
    private readonly readable: Readable,
  ) {}

  @Route(routes.listFindings)
  async listFindings(@Asked() { actor, params, query }: AskedFor<typeof routes.listFindings>) {
    const { siteId, panelId } = await this.readable.panel(actor, params.panelId);
    const after = readCursor(query.after, momentKey);
    const rows = await this.db.finding.findMany({
      where: {
        siteId,
        panelId,
        ...(query.state === 'all' ? {} : { state: query.state }),
        ...(after === undefined
          ? {}
          : {
              OR: [
                { recordedAt: { lt: new Date(after[0]) } },
                { recordedAt: new Date(after[0]), findingId: { lt: after[1] } },
              ],
            }),
      },
      orderBy: [{ recordedAt: 'desc' }, { findingId: 'desc' }],
      take: query.limit + 1,
    });
    const { items, next } = page(rows, query.limit, (row) => [
      row.recordedAt.toISOString(),
      row.findingId,
    ]);
    return { items: items.map(findingView), next };
  }

  @Route(routes.recordFinding)
  recordFinding(@Asked() asked: AskedFor<typeof routes.recordFinding>) {
    return run(this.archive, recordFinding, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.finding)
  async finding(@Asked() { actor, params }: AskedFor<typeof routes.finding>) {
    const row = await this.db.finding.findFirst({
      where: { AND: [{ findingId: params.findingId }, inReadableSites(actor)] },
    });
    if (row === null) throw unknown('finding');
    return findingView(row);
  }

  @Route(routes.reviseFinding)
  reviseFinding(@Asked() asked: AskedFor<typeof routes.reviseFinding>) {
    return run(this.archive, reviseFinding, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.withdrawFinding)
  withdrawFinding(@Asked() asked: AskedFor<typeof routes.withdrawFinding>) {
    return run(this.archive, withdrawFinding, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.listInterventions)
  async listInterventions(
    @Asked() { actor, params, query }: AskedFor<typeof routes.listInterventions>,
  ) {
    const site = await this.readable.site(actor, params.siteId);
    const after = readCursor(query.after, momentKey);
    const siteMark = siteMarkOf(site);
    const { subject } = query;
    const isAll = subject === undefined || subject === siteMark;
    const full = isAll || subject.startsWith(`${siteMark}.`) ? subject : `${siteMark}.${subject}`;
    const rows = await this.archive.reads.query<InterventionRow>(
      `SELECT * FROM intervention WHERE site_id = $1
         AND ($2::text IS NULL OR ${subjectsAt('$2')})
         AND ($3::timestamptz IS NULL OR (recorded_at, intervention_id) < ($3, $4::uuid))
       ORDER BY recorded_at DESC, intervention_id DESC LIMIT $5`,
      [site.siteId, isAll ? null : full, after?.[0] ?? null, after?.[1] ?? null, query.limit + 1],
    );
    const { items, next } = page(rows, query.limit, (row) => [
      row.recordedAt.toISOString(),
      row.interventionId,
    ]);
    return { items: items.map(interventionView), next };
  }

  @Route(routes.recordIntervention)
  recordIntervention(@Asked() asked: AskedFor<typeof routes.recordIntervention>) {
    return run(this.archive, recordIntervention, { ...asked.body, ...asked.params }, asked);
  }
}
