import { Injectable } from '@nestjs/common';
import { Db } from '#libs/db';
import {
  aliasKey,
  formatInPanel,
  formatMark,
  formatOpening,
  formatWindow,
  kindOf,
  type Mark,
  readBuildingOf,
  readMark,
  type Scheme,
} from '#libs/marks';
import { Problem } from '#libs/problem';
import { type Actor, inReadableSites } from '../platform/actor.js';

export interface MarkedPlace {
  kind: string;
  fullMark: string;
  siteId: string;
  windowId: string | null;
  panelId: string | null;
  pieceId: string | null;
  /** earlier number that led here */
  alias: string | null;
}

interface KnownSite {
  siteId: string;
  code: string;
  unit: string | null;
  scheme: string;
}

/** Aliases looked at for one question; a studio has far fewer of one text. */
const ALIASES_MAX = 2000;

/** From a mark, or an earlier number, to the place. */
@Injectable()
export class MarksReader {
  constructor(private readonly db: Db) {}

  /** @throws {Problem} `mark-unknown` */
  async resolve(text: string, actor: Actor): Promise<MarkedPlace> {
    const found = await this.find(text, actor);
    if (found !== undefined) return found;
    throw new Problem(
      'mark-unknown',
      `Nothing that you may read bears ${text}. Marks look like SLM.wI.2b.17; earlier numbers are found as they were recorded.`,
      { field: 'mark' },
    );
  }

  async find(text: string, actor: Actor): Promise<MarkedPlace | undefined> {
    return (await this.#byMark(text, actor)) ?? (await this.#byAlias(text, actor));
  }

  async #byMark(text: string, actor: Actor): Promise<MarkedPlace | undefined> {
    const building = readBuildingOf(text);
    if (!building.ok) return undefined;
    const sites: KnownSite[] = await this.db.site.findMany({
      where: { AND: [{ code: building.value.site }, inReadableSites(actor)] },
    });
    const mark = building.value;
    const site = sites.find((one) => (one.unit ?? undefined) === mark.unit);
    if (site === undefined) return undefined;
    const reading = readMark(text, site.scheme as Scheme);
    return reading.ok ? this.#place(site, reading.value) : undefined;
  }

  async #place(site: KnownSite, mark: Mark): Promise<MarkedPlace | undefined> {
    const place: MarkedPlace = {
      kind: kindOf(mark),
      fullMark: formatMark(mark),
      siteId: site.siteId,
      windowId: null,
      panelId: null,
      pieceId: null,
      alias: null,
    };
    if (mark.window === undefined) return place;
    const { siteId } = site;
    const window = await this.db.window.findFirst({
      where: { siteId, mark: formatWindow(mark.window) },
      select: { windowId: true },
    });
    if (window === null) return undefined;
    place.windowId = window.windowId;
    if (mark.opening === undefined) return place;
    const panel = await this.db.panel.findFirst({
      where: { windowId: window.windowId, mark: formatOpening(mark.opening) },
      select: { panelId: true, netRevision: true },
    });
    if (panel === null) return undefined;
    place.panelId = panel.panelId;
    if (mark.inPanel === undefined) return place;
    if (mark.inPanel.kind === 'lead' || mark.inPanel.kind === 'joint') {
      return panel.netRevision === null ? undefined : place;
    }
    const { number } = mark.inPanel;
    const pieces = await this.db.piece.findMany({
      where: {
        panelId: panel.panelId,
        mark: { in: [formatInPanel(mark.inPanel), String(number)] },
      },
      orderBy: { provisional: 'asc' },
      select: { pieceId: true, mark: true },
    });
    const piece = pieces.find((one) => one.mark === formatInPanel(mark.inPanel!)) ?? pieces[0];
    if (piece === undefined) return undefined;
    return { ...place, pieceId: piece.pieceId };
  }

  async #byAlias(text: string, actor: Actor): Promise<MarkedPlace | undefined> {
    const key = aliasKey(text);
    const first = key.split(' ')[0]!;
    const aliases = await this.db.alias.findMany({
      where: {
        AND: [inReadableSites(actor), { text: { contains: first, mode: 'insensitive' } }],
      },
      orderBy: { aliasId: 'asc' },
      take: ALIASES_MAX,
    });
    const alias = aliases.find((one) => aliasKey(one.text) === key);
    if (alias === undefined) return undefined;
    const site = await this.db.site.findUnique({ where: { siteId: alias.siteId } });
    const reading = site && readMark(alias.mark, site.scheme as Scheme);
    if (site === null || reading?.ok !== true) return undefined;
    const place = await this.#place(site, reading.value);
    return place && { ...place, alias: alias.text };
  }
}
