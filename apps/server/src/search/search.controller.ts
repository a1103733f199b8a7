import { Controller } from '@nestjs/common';
import { searchKey, siteMarkOf, without } from '#libs/archive';
import type { Actor } from '../platform/actor.js';
import { cursorOf, readCursor } from '../platform/paging.js';
import { Readable } from '../platform/readable.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { MarksReader } from '../sites/marks.reader.js';
import { conditionsOf } from './search.conditions.js';
import { SearchCsv } from './search.csv.js';
import { labelled } from './search.labels.js';
import type { SearchFilters } from './search.query.js';
import { COUNTED_MAX, type FoundRow, placeKey, SearchReader } from './search.reader.js';
import * as routes from './search.routes.js';
import { SearchScope } from './search.scope.js';

@Controller()
export class SearchController {
  constructor(
    private readonly marks: MarksReader,
    private readonly scope: SearchScope,
    private readonly rows: SearchReader,
    private readonly table: SearchCsv,
    private readonly readable: Readable,
  ) {}

  @Route(routes.search)
  async search(@Asked() { actor, query }: AskedFor<typeof routes.search>) {
    const { limit, after, ...filters } = query;
    const text = filters.q.trim();
    const [jump, make] = await Promise.all([
      text === '' || after !== undefined ? null : this.marks.find(text, actor),
      this.#conditions(filters, actor),
    ]);
    const place = readCursor(after, placeKey);
    if (place !== undefined) {
      const rows = await this.rows.after(make, place, limit + 1);
      return { jump: null, total: null, facets: null, ...paged(rows, limit, place[2]) };
    }
    const { rows, total, facets } = await this.rows.first(make, limit + 1);
    const isShort = total > COUNTED_MAX ? 0 : 1;
    return { jump: jump ?? null, total, facets: labelled(facets), ...paged(rows, limit, isShort) };
  }

  @Route(routes.searchCsv)
  async searchCsv(@Asked() { actor, query, reply }: AskedFor<typeof routes.searchCsv>) {
    const make = await this.#conditions(query, actor);
    void reply
      .type('text/csv; charset=utf-8; header=present')
      .header('Content-Disposition', 'attachment; filename="found.csv"');
    return this.table.stream(make());
  }

  @Route(routes.searchPlaces)
  async searchPlaces(@Asked() { actor, params, query }: AskedFor<typeof routes.searchPlaces>) {
    const { siteId, mark } = await this.readable.window(actor, params.windowId);
    const [site, make] = await Promise.all([
      this.readable.site(actor, siteId),
      this.#conditions(query, actor),
    ]);
    return this.rows.places(make, siteId, searchKey('window', `${siteMarkOf(site)}.${mark}`));
  }

  async #conditions(filters: SearchFilters, actor: Actor) {
    const scope = await this.scope.of(filters, actor);
    return () => conditionsOf(filters, scope);
  }
}

function paged(rows: readonly FoundRow[], limit: number, isShort: number) {
  const items = rows.slice(0, limit);
  const last = items.at(-1);
  const next =
    rows.length > limit && last !== undefined
      ? cursorOf([last.recordedAt.toISOString(), last.rowId, isShort])
      : null;
  return { items: items.map((row) => without(row, 'recordedAt')), next };
}
