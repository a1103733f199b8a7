import { Controller } from '@nestjs/common';
import { z } from 'zod';
import {
  Archive,
  addAlias,
  addSite,
  describeSite,
  idSchema,
  type SiteRow,
  siteView,
  unknown,
} from '#libs/archive';
import { Db } from '#libs/db';
import { inReadableSites } from '../platform/actor.js';
import { keyText, page, readCursor } from '../platform/paging.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { run } from '../platform/run.js';
import { MarksReader } from './marks.reader.js';
import * as routes from './sites.routes.js';

/** code and id */
const siteKey = z.tuple([keyText, idSchema]);

@Controller()
export class SitesController {
  constructor(
    private readonly archive: Archive,
    private readonly db: Db,
    private readonly marks: MarksReader,
  ) {}

  @Route(routes.listSites)
  async listSites(@Asked() { actor, query }: AskedFor<typeof routes.listSites>) {
    const after = readCursor(query.after, siteKey);
    const rows: SiteRow[] = await this.db.site.findMany({
      where: {
        AND: [
          inReadableSites(actor),
          after === undefined
            ? {}
            : { OR: [{ code: { gt: after[0] } }, { code: after[0], siteId: { gt: after[1] } }] },
        ],
      },
      orderBy: [{ code: 'asc' }, { siteId: 'asc' }],
      take: query.limit + 1,
    });
    const { items, next } = page(rows, query.limit, (row) => [row.code, row.siteId]);
    return { items: items.map(siteView), next };
  }

  @Route(routes.addSite)
  addSite(@Asked() asked: AskedFor<typeof routes.addSite>) {
    return run(this.archive, addSite, asked.body, asked);
  }

  @Route(routes.site)
  async site(@Asked() { actor, params }: AskedFor<typeof routes.site>) {
    const row = await this.db.site.findFirst({
      where: { AND: [{ siteId: params.siteId }, inReadableSites(actor)] },
    });
    if (row === null) throw unknown('site');
    return siteView(row);
  }

  @Route(routes.describeSite)
  describeSite(@Asked() asked: AskedFor<typeof routes.describeSite>) {
    return run(this.archive, describeSite, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.addAlias)
  addAlias(@Asked() asked: AskedFor<typeof routes.addAlias>) {
    return run(this.archive, addAlias, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.resolveMark)
  resolveMark(@Asked() { actor, params }: AskedFor<typeof routes.resolveMark>) {
    return this.marks.resolve(params.mark, actor);
  }
}
