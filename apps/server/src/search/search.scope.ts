/** Which rows a search may meet: sites that the person may read, marks and areas that were asked for. */
import { Injectable } from '@nestjs/common';
import { markKeys, siteMarkOf } from '#libs/archive';
import { Db } from '#libs/db';
import { formatMark, readBuildingOf, readMarkIn, type Scheme } from '#libs/marks';
import { Problem } from '#libs/problem';
import { type Actor, inReadableSites, readableSites } from '../platform/actor.js';
import { MarksReader } from '../sites/marks.reader.js';
import { readArea, SearchArea } from './search.area.js';
import type { Scope } from './search.conditions.js';
import type { SearchFilters } from './search.query.js';

interface KnownSite {
  siteId: string;
  code: string;
  unit: string | null;
  scheme: string;
}

@Injectable()
export class SearchScope {
  constructor(
    private readonly db: Db,
    private readonly marks: MarksReader,
    private readonly area: SearchArea,
  ) {}

  /** @throws {Problem} `mark-unknown`, `geometry-invalid`, `request-invalid` */
  async of(filters: SearchFilters, actor: Actor): Promise<Scope> {
    const asked = [...filters.mark, ...(filters.window === undefined ? [] : [filters.window])];
    const sites =
      filters.site === undefined && asked.length === 0
        ? []
        : await this.db.site.findMany({ where: inReadableSites(actor) });
    const chosen =
      filters.site === undefined
        ? sites
        : sites.filter((one) => one.siteId === filters.site || siteMarkOf(one) === filters.site);
    const wanted = await Promise.all(asked.map((text) => this.#mark(text.trim(), chosen, actor)));
    const wholeSites = wanted.flatMap(({ siteIds }) => siteIds);
    const keys = wanted.flatMap((one) => one.keys);
    if (wholeSites.length > 0 && keys.length > 0) {
      throw new Problem(
        'request-invalid',
        'mark: a whole site and a mark within one are not asked for together. Leave one out.',
        { field: 'mark' },
      );
    }
    return {
      may: readableSites(actor),
      siteIds:
        wholeSites.length > 0
          ? wholeSites
          : filters.site === undefined
            ? 'all'
            : chosen.map(({ siteId }) => siteId),
      markKeys: keys,
      area: await this.#area(filters, actor),
    };
  }

  /** A mark in full, from the window on at any site that has such windows, or an earlier number. */
  async #mark(
    text: string,
    sites: readonly KnownSite[],
    actor: Actor,
  ): Promise<{ siteIds: string[]; keys: string[] }> {
    const whole = sites.filter((site) => siteMarkOf(site) === text);
    if (whole.length > 0) return { siteIds: whole.map(({ siteId }) => siteId), keys: [] };
    const keys = sites.flatMap((site) => {
      const siteMark = siteMarkOf(site);
      const within = text.startsWith(`${siteMark}.`) ? text.slice(siteMark.length + 1) : text;
      const building = readBuildingOf(siteMark);
      const reading = building.ok
        ? readMarkIn(building.value, within, site.scheme as Scheme)
        : building;
      return reading.ok ? [markKeys(formatMark(reading.value)).at(-1)!] : [];
    });
    if (keys.length > 0) return { siteIds: [], keys };
    const place = await this.marks.resolve(text, actor);
    const key = markKeys(place.fullMark).at(-1);
    return key === undefined ? { siteIds: [place.siteId], keys: [] } : { siteIds: [], keys: [key] };
  }

  async #area(filters: SearchFilters, actor: Actor): Promise<Scope['area']> {
    if (filters.area === undefined && filters.in === undefined) return null;
    if (filters.area === undefined || filters.in === undefined) {
      throw new Problem(
        'request-invalid',
        'area and in belong together: the corners, and the panel or window that they are drawn on.',
        { field: filters.area === undefined ? 'area' : 'in' },
      );
    }
    const corners = readArea(filters.area);
    return this.area.within(await this.marks.resolve(filters.in, actor), corners);
  }
}
