import { Controller } from '@nestjs/common';
import { siteMarkOf, without } from '#libs/archive';
import { Db } from '#libs/db';
import { type Actor, inReadableSites } from '../platform/actor.js';
import { page, readCursor } from '../platform/paging.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { MarksReader } from '../sites/marks.reader.js';
import { SearchReader } from './search.reader.js';
import * as routes from './search.routes.js';

@Controller()
export class SearchController {
  constructor(
    private readonly db: Db,
    private readonly marks: MarksReader,
    private readonly rows: SearchReader,
  ) {}

  @Route(routes.search)
  async search(@Asked() { actor, query }: AskedFor<typeof routes.search>) {
    const { q, site, window, limit, after, ...filters } = query;
    const text = q.trim();
    const [jump, siteIds] = await Promise.all([
      text === '' ? null : this.marks.find(text, actor),
      site === undefined ? ('all' as const) : this.#sites(site, actor),
    ]);
    const found = await this.rows.find(actor, {
      q: text,
      siteIds,
      windowMark: window?.split('.').at(-1),
      kind: filters.kind,
      stage: filters.stage,
      from: filters.from,
      to: filters.to,
      after: readCursor<[string, string]>(after, 2),
      limit: limit + 1,
    });
    const { items, next } = page(found, limit, (row) => [row.recordedAt.toISOString(), row.rowId]);
    return {
      jump: jump ?? null,
      items: items.map((row) => without(row, 'recordedAt')),
      next,
    };
  }

  async #sites(text: string, actor: Actor): Promise<string[]> {
    const sites = await this.db.site.findMany({ where: inReadableSites(actor) });
    return sites
      .filter((one) => one.siteId === text || siteMarkOf(one) === text)
      .map((one) => one.siteId);
  }
}
