import type { operations } from '#libs/api-client';
import { type NamedOutline, unpackOutlines, type WindowDrawing } from '#libs/elevation';
import { client, everyPage, ifMatch, taken } from './request.js';

/** What is being done with a panel; the words on screen are in `work-state.ts`. */
export type WorkState = 'in-place' | 'out' | 'on-bench' | 'rebuilt';

type DrawingBody = operations['addWindow']['requestBody']['content']['application/json']['drawing'];

export interface WindowRow {
  readonly windowId: string;
  readonly siteId: string;
  readonly mark: string;
  readonly title: string;
  /** as libs/elevation keeps it; read through that lib */
  readonly drawing: unknown;
  readonly version: number;
}

export interface WindowPanel {
  readonly panelId: string;
  readonly mark: string;
  readonly workState: WorkState;
  readonly pieces: number;
  readonly findings: number;
  readonly signedRevision: number | null;
  readonly netRevision: number | null;
  readonly lastHappened: string | null;
  readonly retired: boolean;
}

export interface WindowAnswer extends WindowRow {
  readonly fullMark: string;
  readonly panels: readonly WindowPanel[];
}

export const readWindows = (siteId: string, signal: AbortSignal): Promise<readonly WindowRow[]> =>
  everyPage((after) =>
    taken(
      client.GET('/v1/sites/{siteId}/windows', {
        params: { path: { siteId }, query: after ? { after } : {} },
        signal,
      }),
    ),
  );

/** With the panels of its drawing; those that fell out of it are left out here. */
export async function readWindow(windowId: string, signal: AbortSignal): Promise<WindowAnswer> {
  const answer = await taken(
    client.GET('/v1/windows/{windowId}', { params: { path: { windowId } }, signal }),
  );
  return { ...answer, panels: answer.panels.filter((panel) => !panel.retired) };
}

/** Every lead drawing of a window in the window's frame: `2b` its edge, `2b.17` the glass of a piece. */
export async function readOutline(
  windowId: string,
  signal: AbortSignal,
): Promise<readonly NamedOutline[]> {
  const bytes = await taken<ArrayBuffer>(
    client.GET('/v1/windows/{windowId}/outline', {
      params: { path: { windowId } },
      parseAs: 'arrayBuffer',
      signal,
    }),
  );
  return unpackOutlines(new Uint8Array(bytes));
}

export const addWindow = (
  siteId: string,
  { drawing, ...named }: { mark: string; title: string; drawing: WindowDrawing },
): Promise<unknown> =>
  taken(
    client.POST('/v1/sites/{siteId}/windows', {
      params: { path: { siteId } },
      body: { ...named, drawing: drawing as DrawingBody },
    }),
  );

export const redrawWindow = (
  windowId: string,
  { drawing, ...how }: { drawing: WindowDrawing; retire?: boolean },
  version: number,
): Promise<unknown> =>
  taken(
    client.PUT('/v1/windows/{windowId}/drawing', {
      params: { path: { windowId }, header: ifMatch(version) },
      body: { ...how, drawing: drawing as DrawingBody },
    }),
  );
