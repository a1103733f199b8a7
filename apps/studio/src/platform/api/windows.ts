import { everyPage, get, post, put, type Written } from './request.js';

/** What is being done with a panel; the words on screen are in `work-state.ts`. */
export type WorkState = 'in-place' | 'out' | 'on-bench' | 'rebuilt';

/** The drawing of a window as libs/elevation keeps it; opaque here, read through that lib. */
export type WindowDrawingJson = Readonly<Record<string, unknown>>;

export interface WindowRow {
  readonly windowId: string;
  readonly siteId: string;
  readonly mark: string;
  readonly title: string;
  readonly drawing: WindowDrawingJson;
  readonly version: number | string;
}

export interface WindowPanel {
  readonly panelId: string;
  readonly mark: string;
  /** outline in the window's frame, mm: flat or pairs */
  readonly ringMm: readonly number[] | readonly (readonly [number, number])[];
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

export const readWindows = (siteId: string, signal?: AbortSignal): Promise<readonly WindowRow[]> =>
  everyPage<WindowRow>(`/v1/sites/${siteId}/windows`, {}, signal);

/** With the panels of its drawing; those that fell out of it are left out here. */
export async function readWindow(windowId: string, signal?: AbortSignal): Promise<WindowAnswer> {
  const answer = await get<WindowAnswer>(`/v1/windows/${windowId}`, {}, signal);
  return { ...answer, panels: answer.panels.filter((panel) => !panel.retired) };
}

export const addWindow = (
  siteId: string,
  body: { mark: string; title: string; drawing: unknown },
): Promise<WindowRow & Written> => post(`/v1/sites/${siteId}/windows`, body);

export const redrawWindow = (
  windowId: string,
  body: { drawing: unknown; retire?: boolean },
  version: number | string,
): Promise<WindowAnswer & Written> => put(`/v1/windows/${windowId}/drawing`, body, version);
