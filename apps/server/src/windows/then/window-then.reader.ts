import { Inject, Injectable } from '@nestjs/common';
import { getJson, Tx } from '#libs/archive';
import type { PgPool } from '#libs/db';
import type { ObjectStore } from '#libs/objects';
import { OBJECTS, POOL } from '../../platform/tokens.js';
import type { Moment } from './moment.js';
import { type PanelAnswer, panelFacts, type WindowPlace } from './panel-facts.js';
import { walkBack } from './walk-back.js';
import { panelWork, type WorkState } from './work-then.js';

interface WindowRow extends WindowPlace {
  readonly title: string;
  readonly drawing: unknown;
  readonly version: number | bigint;
}

export interface WindowThen {
  readonly title: string;
  readonly drawing: unknown;
  readonly panels: readonly PanelAnswer[];
  /** false where the window was drawn into the archive later */
  readonly inArchive: boolean;
}

interface PlaceRow {
  panelId: string;
  mark: string;
  ringMm: number[];
  retired: boolean;
  version: number;
}

interface PanelRow extends PlaceRow {
  workState: WorkState;
  shows: string | null;
  pieces: number;
  signedRevision: number | null;
  netRevision: number | null;
  doubts: number | null;
}

interface DrawnWindow {
  readonly drawing: unknown;
  readonly panels: readonly { readonly mark: string; readonly ringMm: number[] }[];
}

/**
 * A window with its panels: as it is, or as it was by a day (`happened`), as the ledger knew it at a
 * moment (`known`). The two are never mixed: each filters by its own date.
 */
@Injectable()
export class WindowThenReader {
  readonly #tx: Tx;

  constructor(
    @Inject(POOL) pool: PgPool,
    @Inject(OBJECTS) private readonly objects: ObjectStore,
  ) {
    this.#tx = new Tx(pool);
  }

  async read(window: WindowRow, moment: Moment): Promise<WindowThen> {
    const { title, drawing } = window;
    if (moment.until === null && moment.known === null) {
      const [rows, factsOf] = await Promise.all([
        this.#rows(window),
        panelFacts(this.#tx, window, moment),
      ]);
      return { title, drawing, panels: withFacts(rows, factsOf), inArchive: true };
    }
    const [drawn, factsOf] = await Promise.all([
      this.#worked(window, moment),
      panelFacts(this.#tx, window, moment),
    ]);
    if (drawn === undefined) return { title, drawing, panels: [], inArchive: false };
    const panels = withFacts(drawn.rows, factsOf);
    return { title: drawn.title, drawing: drawn.drawing, panels, inArchive: true };
  }

  /** The window as it was drawn, each panel in its state of work. */
  async #worked(window: WindowRow, moment: Moment) {
    const drawn = await this.#drawn(window, moment);
    if (drawn === undefined) return undefined;
    const marks = drawn.rows.map(({ mark }) => `${window.fullMark}.${mark}`);
    const work = await panelWork(this.#tx, window.siteId, marks, moment);
    const states = new Map(work.states.map((change) => [change.mark, change.workState]));
    const rows = drawn.rows.map((row): PanelRow => {
      const mark = `${window.fullMark}.${row.mark}`;
      const net = work.nets.get(mark);
      const signed = work.signed.get(mark);
      return {
        ...row,
        workState: states.get(mark) ?? 'in-place',
        shows: work.shows.get(mark) ?? null,
        pieces: signed?.pieces ?? 0,
        signedRevision: signed?.revision ?? null,
        netRevision: net?.revision ?? null,
        doubts: net?.doubts ?? null,
      };
    });
    return { ...drawn, rows };
  }

  #rows({ siteId, windowId }: WindowPlace): Promise<PanelRow[]> {
    return this.#tx.query<PanelRow>(
      `WITH shown AS (SELECT * FROM panel WHERE site_id = $1 AND window_id = $2),
       p AS (SELECT panel_id, count(*) AS n FROM piece
             WHERE panel_id IN (SELECT panel_id FROM shown) AND NOT retired AND NOT provisional
             GROUP BY 1),
       d AS (SELECT DISTINCT ON (panel_id) panel_id,
               coalesce((summary ->> 'doubtful')::int, 0)
                 + coalesce((summary ->> 'doubtfulLeads')::int, 0) AS doubts
             FROM net_revision
             WHERE panel_id IN (SELECT panel_id FROM shown) AND layer = 'front'
             ORDER BY panel_id, revision DESC)
       SELECT shown.panel_id, shown.mark, shown.ring_mm, shown.work_state, shown.shows,
              coalesce(p.n, 0) AS pieces, shown.signed_revision, shown.net_revision, d.doubts,
              shown.retired, shown.version
       FROM shown LEFT JOIN p USING (panel_id) LEFT JOIN d USING (panel_id)
       ORDER BY shown.sort_key`,
      [siteId, windowId],
    );
  }

  /** The panels of the drawing that the ledger held then. */
  async #drawn(window: WindowRow, { known }: Moment) {
    const { siteId, windowId, title, drawing } = window;
    const now = await this.#tx.query<PlaceRow>(
      `SELECT panel_id, mark, ring_mm, retired, version FROM panel
       WHERE site_id = $1 AND window_id = $2 ORDER BY sort_key`,
      [siteId, windowId],
    );
    if (known === null || Number(window.version) <= known.place) {
      const held = known === null ? now : now.filter(({ retired }) => !retired);
      return { title, drawing, rows: held };
    }
    const [entry] = await walkBack(this.#tx, siteId, [Number(window.version)], known.place);
    if (entry === undefined) return undefined;
    const said = entry.payload as { title: string; drawingDigest: string; windowId: string };
    if (said.windowId !== windowId) throw new Error(`an entry of ${windowId} tells of another`);
    const then = (await getJson(this.objects, said.drawingDigest)) as DrawnWindow;
    const rings = new Map(then.panels.map(({ mark, ringMm }) => [mark, ringMm]));
    const rows = now.flatMap((row) => {
      const ringMm = rings.get(row.mark);
      return ringMm === undefined ? [] : [{ ...row, ringMm, retired: false }];
    });
    return { title: said.title, drawing: then.drawing, rows };
  }
}

function withFacts(
  rows: readonly PanelRow[],
  factsOf: Awaited<ReturnType<typeof panelFacts>>,
): PanelAnswer[] {
  return rows.map((row) => ({ ...row, ...factsOf(row.panelId, row.mark) }));
}
