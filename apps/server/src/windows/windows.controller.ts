import { Controller } from '@nestjs/common';
import { z } from 'zod';
import {
  Archive,
  addWindow,
  carryOver,
  describePanel,
  describePiece,
  idSchema,
  mediaViews,
  panelView,
  pieceView,
  placementView,
  redrawWindow,
  rubbingView,
  siteMarkOf,
  tracePiece,
  windowView,
} from '#libs/archive';
import { Db } from '#libs/db';
import { keyText, page, readCursor } from '../platform/paging.js';
import { Readable } from '../platform/readable.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { run } from '../platform/run.js';
import { CarryOverReader } from './carry-over.reader.js';
import { OutlineReader } from './outline.reader.js';
import { PanelsReader } from './panels.reader.js';
import { HappeningsReader } from './then/happenings.reader.js';
import { LeadsReader } from './then/leads.reader.js';
import { asOf, momentOf } from './then/moment.js';
import { SaidPiecesReader } from './then/pieces.reader.js';
import { WindowThenReader } from './then/window-then.reader.js';
import * as routes from './windows.routes.js';

const MEDIA_MAX = 500;

/** sort key and id */
const windowKey = z.tuple([keyText, idSchema]);

@Controller()
export class WindowsController {
  constructor(
    private readonly archive: Archive,
    private readonly db: Db,
    private readonly readable: Readable,
    private readonly panels: PanelsReader,
    private readonly carryOvers: CarryOverReader,
    private readonly outlines: OutlineReader,
    private readonly then: WindowThenReader,
    private readonly saidPieces: SaidPiecesReader,
    private readonly leads: LeadsReader,
    private readonly happenings: HappeningsReader,
  ) {}

  @Route(routes.listWindows)
  async listWindows(@Asked() { actor, params, query }: AskedFor<typeof routes.listWindows>) {
    const site = await this.readable.site(actor, params.siteId);
    const after = readCursor(query.after, windowKey);
    const rows = await this.db.window.findMany({
      where: {
        siteId: site.siteId,
        ...(after === undefined
          ? {}
          : {
              OR: [
                { sortKey: { gt: after[0] } },
                { sortKey: after[0], windowId: { gt: after[1] } },
              ],
            }),
      },
      orderBy: [{ sortKey: 'asc' }, { windowId: 'asc' }],
      take: query.limit + 1,
    });
    const { items, next } = page(rows, query.limit, (row) => [row.sortKey, row.windowId]);
    return { items: items.map((row) => windowView(row, siteMarkOf(site))), next };
  }

  @Route(routes.addWindow)
  addWindow(@Asked() asked: AskedFor<typeof routes.addWindow>) {
    return run(this.archive, addWindow, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.window)
  async window(@Asked() { actor, params, query }: AskedFor<typeof routes.window>) {
    const window = await this.readable.window(actor, params.windowId);
    const { siteId } = window;
    const site = await this.db.site.findUniqueOrThrow({ where: { siteId } });
    const view = windowView(window, siteMarkOf(site));
    const moment = await momentOf(this.archive.reads, siteId, query);
    const { title, drawing, panels, inArchive } = await this.then.read(view, moment);
    return { ...view, title, drawing, panels, asOf: asOf(moment, inArchive) };
  }

  @Route(routes.windowPieces)
  async windowPieces(@Asked() asked: AskedFor<typeof routes.windowPieces>) {
    const { place, moment } = await this.#moment(asked);
    return { items: await this.saidPieces.ofWindow(place, moment), next: null };
  }

  @Route(routes.windowLeads)
  async windowLeads(@Asked() asked: AskedFor<typeof routes.windowLeads>) {
    const { place, moment } = await this.#moment(asked);
    return { items: await this.leads.ofWindow(place, moment), next: null };
  }

  @Route(routes.listHappenings)
  async listHappenings(@Asked() { actor, params, query }: AskedFor<typeof routes.listHappenings>) {
    const site = await this.readable.site(actor, params.siteId);
    const { known } = await momentOf(this.archive.reads, site.siteId, query);
    return { items: await this.happenings.ofSite(site, query.window, known), next: null };
  }

  async #moment({
    actor,
    params,
    query,
  }: Pick<AskedFor<typeof routes.windowPieces>, 'actor' | 'params' | 'query'>) {
    const window = await this.readable.window(actor, params.windowId);
    const site = await this.db.site.findUniqueOrThrow({ where: { siteId: window.siteId } });
    return {
      place: windowView(window, siteMarkOf(site)),
      moment: await momentOf(this.archive.reads, window.siteId, query),
    };
  }

  @Route(routes.windowOutline)
  async windowOutline(
    @Asked() { actor, params, request, reply }: AskedFor<typeof routes.windowOutline>,
  ) {
    const { siteId, windowId } = await this.readable.window(actor, params.windowId);
    const { bytes, etag } = await this.outlines.ofWindow(siteId, windowId);
    void reply.headers({ ETag: etag, 'Cache-Control': 'private, no-cache' });
    if (request.headers['if-none-match'] === etag) {
      void reply.status(304);
      return;
    }
    void reply.type('application/octet-stream');
    return Buffer.from(bytes);
  }

  @Route(routes.redrawWindow)
  redrawWindow(@Asked() asked: AskedFor<typeof routes.redrawWindow>) {
    return run(this.archive, redrawWindow, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.panel)
  async panel(@Asked() { actor, params }: AskedFor<typeof routes.panel>) {
    const { panelId } = params;
    const panel = await this.readable.panel(actor, panelId);
    const { siteId } = panel;
    const fullMark = await this.panels.fullMark(panelId);
    const [counts, newest, placements, rubbings] = await Promise.all([
      this.panels.counts(siteId, panelId, fullMark),
      this.panels.media(siteId, fullMark, { after: undefined, limit: MEDIA_MAX }),
      this.db.placement.findMany({ where: { siteId, panelId }, orderBy: { mediaId: 'asc' } }),
      this.db.rubbing.findMany({ where: { siteId, panelId }, orderBy: { recordedAt: 'desc' } }),
    ]);
    const { items, next } = newest;
    const inUse =
      next === null ? [] : await this.panels.mediaInUse(siteId, panelId, fullMark, next);
    return {
      ...panelView(panel, fullMark),
      counts,
      media: await mediaViews(this.archive.reads, [...items, ...inUse]),
      mediaNext: next,
      placements: placements.map(placementView),
      rubbings: rubbings.map(rubbingView),
    };
  }

  @Route(routes.listPanelMedia)
  async listPanelMedia(@Asked() { actor, params, query }: AskedFor<typeof routes.listPanelMedia>) {
    const { siteId, panelId } = await this.readable.panel(actor, params.panelId);
    const fullMark = await this.panels.fullMark(panelId);
    const { items, next } = await this.panels.media(siteId, fullMark, query);
    return { items: await mediaViews(this.archive.reads, items), next };
  }

  @Route(routes.describePanel)
  describePanel(@Asked() asked: AskedFor<typeof routes.describePanel>) {
    return run(this.archive, describePanel, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.listPieces)
  async listPieces(@Asked() { actor, params }: AskedFor<typeof routes.listPieces>) {
    const { panelId, siteId } = await this.readable.panel(actor, params.panelId);
    const rows = await this.db.piece.findMany({
      where: { siteId, panelId },
      orderBy: [{ retired: 'asc' }, { provisional: 'asc' }, { sortKey: 'asc' }, { pieceId: 'asc' }],
    });
    return { items: rows.map(pieceView), next: null };
  }

  @Route(routes.tracePiece)
  tracePiece(@Asked() asked: AskedFor<typeof routes.tracePiece>) {
    return run(this.archive, tracePiece, { said: asked.body, ...asked.params }, asked);
  }

  @Route(routes.describePiece)
  describePiece(@Asked() asked: AskedFor<typeof routes.describePiece>) {
    return run(this.archive, describePiece, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.proposeCarryOver)
  async proposeCarryOver(@Asked() { actor, params }: AskedFor<typeof routes.proposeCarryOver>) {
    const panel = await this.readable.panel(actor, params.panelId);
    return { matches: await this.carryOvers.proposal(panel) };
  }

  @Route(routes.carryOver)
  carryOver(@Asked() asked: AskedFor<typeof routes.carryOver>) {
    return run(this.archive, carryOver, { ...asked.body, ...asked.params }, asked);
  }
}
