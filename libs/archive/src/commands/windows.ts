import { z } from 'zod';
import {
  checkWindowDrawing,
  ElevationError,
  panelGrid,
  type WindowDrawing,
  windowDrawingSchema,
} from '#libs/elevation';
import { Problem } from '#libs/problem';
import { defineCommand, type ProjectedEntry, type ProjectionPorts } from '../command.js';
import { uuidOfName } from '../id.js';
import { checkedOpening, checkedWindow } from '../marks.js';
import { siteOf, sitePlace } from '../place.js';
import type { PanelRow } from '../rows.js';
import { makeFindable } from '../search-row.js';
import { idSchema, shortText } from '../shapes.js';
import { getJson, putJson } from '../stored-json.js';
import { changeRows, findRow, findRows, putRow } from '../tables.js';
import type { Tx } from '../tx.js';
import { windowView } from '../views/window-view.js';
import { lastEntryAbout } from './superseded.js';

/** Drawing and the panels that came out of it: one object, so that later code draws no other. */
interface DrawnWindow {
  drawing: WindowDrawing;
  panels: { mark: string; sortKey: string; ringMm: number[]; widthMm: number; heightMm: number }[];
}

interface WindowPayload {
  windowId: string;
  mark: string;
  sortKey: string;
  title: string;
  drawingDigest: string;
}

export const addWindowBody = z.strictObject({
  mark: z.string().min(1).max(64).describe('wI, nII, … or a free name such as hall-2'),
  title: shortText,
  drawing: windowDrawingSchema,
});

export const addWindow = defineCommand({
  type: 'window.add',
  body: addWindowBody.extend({ siteId: idSchema }),
  role: 'recorder',
  status: 201,
  siteOf: async ({ siteId }, tx) => (await sitePlace(tx, siteId)).siteId,
  prepare: ({ drawing }) => Promise.resolve(drawn(drawing)),
  async decide({ siteId, mark, title }, ctx, prepared) {
    const site = await sitePlace(ctx.tx, siteId);
    const window = checkedWindow(mark, site.scheme);
    if ((await findRow(ctx.tx, 'window', { siteId, mark: window.mark })) !== undefined) {
      throw new Problem(
        'window-exists',
        `${site.siteMark}.${window.mark} is drawn already. Revise its drawing, or choose another mark.`,
        { field: 'mark' },
      );
    }
    const object = await putJson(ctx.objects, prepared, 'drawing');
    const payload: WindowPayload = {
      windowId: ctx.newId(),
      ...window,
      title,
      drawingDigest: object.digest,
    };
    return {
      log: { siteId },
      subject: `${site.siteMark}.${window.mark}`,
      happened: null,
      payload,
      objects: [object],
    };
  },
  project: projectWindow,
  answer: answerWindow,
});

export const redrawWindowBody = z.strictObject({
  drawing: windowDrawingSchema,
  title: shortText.optional(),
  retire: z
    .boolean()
    .default(false)
    .describe('true: panels that the new drawing lacks may go although they hold findings'),
});

/** Panels follow the drawing: the same mark is the same panel; what is gone is retired, never deleted. */
export const redrawWindow = defineCommand({
  type: 'window.redraw',
  body: redrawWindowBody.extend({ windowId: idSchema }),
  role: 'recorder',
  target: 'window',
  siteOf: ({ windowId }, tx) => siteOf(tx, 'window', windowId),
  prepare: ({ drawing }) => Promise.resolve(drawn(drawing)),
  async decide({ windowId, title, retire }, ctx, prepared) {
    const row = (await findRow(ctx.tx, 'window', { windowId }))!;
    const site = await sitePlace(ctx.tx, row.siteId);
    ctx.expectVersion(row.version);
    const marks = new Set(prepared.panels.map((panel) => panel.mark));
    if (!retire) await refuseLosingFindings(ctx.tx, windowId, marks);
    const object = await putJson(ctx.objects, prepared, 'drawing');
    const payload: WindowPayload = {
      windowId,
      mark: row.mark,
      sortKey: row.sortKey,
      title: title ?? row.title,
      drawingDigest: object.digest,
    };
    const subject = `${site.siteMark}.${row.mark}`;
    return {
      log: { siteId: row.siteId },
      subject,
      happened: null,
      payload,
      objects: [object],
      ...(await lastEntryAbout(ctx.tx, row.siteId, subject, ['window.add', 'window.redraw'])),
    };
  },
  project: projectWindow,
  answer: answerWindow,
});

function drawn(drawing: WindowDrawing): DrawnWindow {
  try {
    checkWindowDrawing(drawing);
    const panels = panelGrid(drawing).map(({ mark, ringMm, boundsMm }) => ({
      ...checkedOpening(mark),
      ringMm: ringMm.flat(),
      widthMm: tenth(boundsMm.maxX - boundsMm.minX),
      heightMm: tenth(boundsMm.maxY - boundsMm.minY),
    }));
    return { drawing, panels };
  } catch (cause) {
    if (!(cause instanceof ElevationError)) throw cause;
    throw new Problem(
      'drawing-invalid',
      `${cause.message}. Correct the drawing and send it again.`,
      {
        field: cause.field === null ? 'drawing' : `drawing.${cause.field}`,
        fault: cause.fault,
        ...(cause.fitsMm === null ? {} : { fitsMm: cause.fitsMm }),
      },
      { cause },
    );
  }
}

function tenth(mm: number): number {
  return Math.round(mm * 10) / 10;
}

async function refuseLosingFindings(
  tx: Tx,
  windowId: string,
  marks: ReadonlySet<string>,
): Promise<void> {
  const rows = await tx.query<{ mark: string }>(
    `SELECT DISTINCT p.mark, p.sort_key FROM panel p JOIN finding f USING (panel_id)
     WHERE p.window_id = $1 AND NOT p.retired AND f.state = 'recorded' ORDER BY p.sort_key`,
    [windowId],
  );
  const lost = rows.map((row) => row.mark).filter((mark) => !marks.has(mark));
  if (lost.length === 0) return;
  throw new Problem(
    'panel-holds-findings',
    `The new drawing has no ${lost.join(', ')}, where findings are recorded. Draw them too, or send retire: true to retire them with their findings.`,
    { field: 'drawing', panels: lost },
  );
}

async function projectWindow(
  entry: ProjectedEntry<WindowPayload>,
  tx: Tx,
  { objects }: ProjectionPorts,
): Promise<void> {
  const siteId = entry.siteId!;
  const { drawingDigest, ...window } = entry.payload;
  const { drawing, panels } = (await getJson(objects, drawingDigest)) as DrawnWindow;
  await putRow(tx, 'window', { siteId, ...window, drawing, version: entry.seq });
  await makeFindable(tx, entry, {
    kind: 'window',
    rowId: window.windowId,
    subject: entry.subject!,
    windowMark: window.mark,
    title: `${entry.subject!} ${window.title}`,
    text: [window.title],
  });
  const before = await findRows(tx, 'panel', { windowId: window.windowId });
  const known = new Map(before.map((panel) => [panel.mark, panel]));
  for (const { mark, sortKey, ringMm, widthMm, heightMm } of panels) {
    const old = known.get(mark);
    known.delete(mark);
    const isSame = old !== undefined && !old.retired && isSameRing(old.ringMm, ringMm);
    if (isSame) continue;
    const measured = (old?.sizes as { panel?: { source: string } } | undefined)?.panel;
    const isComputed = measured === undefined || measured.source === 'computed';
    const panel: PanelRow = {
      siteId,
      panelId: panelIdOf(window.windowId, mark),
      windowId: window.windowId,
      mark,
      sortKey,
      ringMm,
      sizes: {
        ...(old?.sizes as object | undefined),
        ...(isComputed ? { panel: { widthMm, heightMm, source: 'computed' } } : {}),
      },
      workState: old?.workState ?? 'in-place',
      shows: old?.shows ?? null,
      netRevision: old?.netRevision ?? null,
      signedRevision: old?.signedRevision ?? null,
      retired: false,
      version: entry.seq,
    };
    await putRow(tx, 'panel', panel);
  }
  for (const gone of known.values()) {
    if (gone.retired) continue;
    await changeRows(tx, 'panel', { panelId: gone.panelId }, { retired: true, version: entry.seq });
  }
}

/** The same mark in the same window is the same panel, however often the window is drawn. */
export function panelIdOf(windowId: string, mark: string): string {
  return uuidOfName('panel', windowId, mark);
}

function isSameRing(a: readonly number[], b: readonly number[]): boolean {
  return a.length === b.length && a.every((value, i) => value === b[i]);
}

async function answerWindow({ payload, siteId }: ProjectedEntry<WindowPayload>, tx: Tx) {
  const { siteMark } = await sitePlace(tx, siteId!);
  return windowView((await findRow(tx, 'window', { windowId: payload.windowId }))!, siteMark);
}
