import type { operations } from '#libs/api-client';
import { type NamedOutline, unpackOutlines, type WindowDrawing } from '#libs/elevation';
import type { ConditionClass } from '#libs/vocabulary';
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
  /** flat, in the window's frame */
  readonly ringMm: readonly number[];
  readonly workState: WorkState;
  readonly pieces: number;
  readonly findings: number;
  readonly signedRevision: number | null;
  readonly netRevision: number | null;
  readonly lastHappened: string | null;
  readonly condition: {
    readonly conditionClass: ConditionClass;
    readonly reason: string;
    readonly happened: string;
  } | null;
  /** findings by term */
  readonly terms: Readonly<Record<string, number>>;
  readonly lastWork: LastWork | null;
  /** leads and places in doubt; null where there is no lead drawing */
  readonly doubts: number | null;
  /** pieces by what glass they are, as described */
  readonly glass: Readonly<Record<string, number>>;
  readonly retired: boolean;
}

export interface LastWork {
  readonly operation: string;
  /** EDTF */
  readonly happened: string | null;
}

/** A piece about which something was said. */
export interface SaidPiece {
  /** panel and piece: `2b.17` */
  readonly mark: string;
  readonly terms: Readonly<Record<string, number>>;
  readonly glass: string | null;
  readonly lastWork: LastWork | null;
}

/** Leads of a panel's drawing, by the profile that a gauge gave them. */
export interface PanelLeads {
  readonly mark: string;
  readonly leads: number;
  readonly profiles: Readonly<Record<string, number>>;
}

/** Which day is looked at, and what was known of it when; left out: everything, now. */
export interface Moment {
  /** EDTF */
  readonly at?: string;
  /** day or date-time */
  readonly known?: string;
}

export type HappeningKind =
  | 'survey'
  | 'work'
  | 'moved'
  | 'finding'
  | 'photograph'
  | 'rubbing'
  | 'drawing';

/** Something that happened at a site, on a date of its own. */
export interface Happening {
  readonly kind: HappeningKind;
  readonly label: string;
  /** EDTF as claimed */
  readonly happened: string | null;
  /** YYYY-MM-DD */
  readonly first: string | null;
  readonly last: string | null;
  readonly count: number;
  readonly marks: readonly string[];
}

export interface WindowAnswer extends WindowRow {
  readonly fullMark: string;
  readonly panels: readonly WindowPanel[];
  /** what was asked for; `inArchive` false: the window was drawn into the archive later */
  readonly asOf: { readonly knownEntry: number | null; readonly inArchive: boolean };
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
export async function readWindow(
  windowId: string,
  moment: Moment,
  signal: AbortSignal,
): Promise<WindowAnswer> {
  const answer = await taken(
    client.GET('/v1/windows/{windowId}', { params: { path: { windowId }, query: moment }, signal }),
  );
  return { ...answer, panels: answer.panels.filter((panel) => !panel.retired) };
}

export const readSaidPieces = async (
  windowId: string,
  moment: Moment,
  signal: AbortSignal,
): Promise<readonly SaidPiece[]> =>
  (
    await taken(
      client.GET('/v1/windows/{windowId}/pieces', {
        params: { path: { windowId }, query: moment },
        signal,
      }),
    )
  ).items;

export const readLeads = async (
  windowId: string,
  moment: Moment,
  signal: AbortSignal,
): Promise<readonly PanelLeads[]> =>
  (
    await taken(
      client.GET('/v1/windows/{windowId}/leads', {
        params: { path: { windowId }, query: moment },
        signal,
      }),
    )
  ).items;

export const readHappenings = async (
  siteId: string,
  asked: { readonly window?: string; readonly known?: string },
  signal: AbortSignal,
): Promise<readonly Happening[]> =>
  (
    await taken(
      client.GET('/v1/sites/{siteId}/happenings', {
        params: { path: { siteId }, query: asked },
        signal,
      }),
    )
  ).items;

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
