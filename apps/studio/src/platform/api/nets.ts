import type { Net } from '#libs/net';
import { client, taken } from './request.js';

export interface NetSummary {
  readonly revision: number;
  readonly rubbingId: string | null;
  /** pictures that it was read from, in order */
  readonly mediaIds: readonly string[];
  readonly face: string;
  readonly layer: string;
  readonly surface: string;
  /** 'rubbing/…': read by the machine; 'hand/…': edited; 'import/…': a file */
  readonly madeBy: string;
  readonly note: string | null;
  /** what differs from the revision before of the same layer, in one sentence */
  readonly change: string | null;
  /** the reading of a sheet that it goes back to */
  readonly reading: {
    readonly revision: number;
    readonly rectified: {
      readonly widthPx: number;
      readonly heightPx: number;
      /** panel mm → px, 3 × 3 row by row */
      readonly imageFromPanel: readonly number[];
    } | null;
  } | null;
  /** who drew it, took it from a file, or had the sheet read */
  readonly recordedByName: string | null;
  readonly signedAt: string | null;
  readonly signedByName: string | null;
  readonly signedDoubts: number | null;
  readonly recordedAt: string;
}

export const readNets = async (
  panelId: string,
  signal: AbortSignal,
): Promise<readonly NetSummary[]> =>
  (await taken(client.GET('/v1/panels/{panelId}/nets', { params: { path: { panelId } }, signal })))
    .items;

/** Points are pairs in the API's schema and lists in its types: said here once. */
export const readNet = async (
  panelId: string,
  revision: number,
  signal: AbortSignal,
): Promise<Net> =>
  (await taken(
    client.GET('/v1/panels/{panelId}/nets/{revision}', {
      params: { path: { panelId, revision } },
      signal,
    }),
  )) as unknown as Net;

export type NetFileName =
  | 'net.svg'
  | 'net.dxf'
  | 'net.pdf'
  | 'pattern.pdf'
  | 'pattern.svg'
  | 'pattern.dxf'
  | 'net.json'
  | 'net.geojson'
  | 'schedule.csv'
  | 'schedule.json'
  | 'rectified.jpg';

/** Address of a file made of a revision. @param how what the file is asked to be; empty words are left out */
export function netFile(
  panelId: string,
  revision: number,
  file: NetFileName,
  how: Readonly<Record<string, string>> = {},
): string {
  const query = new URLSearchParams(Object.entries(how).filter(([, value]) => value !== ''));
  const asked = query.size > 0 ? `?${query.toString()}` : '';
  return `/v1/panels/${panelId}/nets/${revision}/${file}${asked}`;
}

/** Address of labels for a window's panels, their pieces or a crate. @param how as with {@link netFile} */
export function labelsFile(windowId: string, how: Readonly<Record<string, string>>): string {
  const query = new URLSearchParams(Object.entries(how).filter(([, value]) => value !== ''));
  return `/v1/windows/${windowId}/labels.pdf?${query.toString()}`;
}

export const signNet = (panelId: string, revision: number): Promise<unknown> =>
  taken(
    client.POST('/v1/panels/{panelId}/nets/{revision}/sign', {
      params: { path: { panelId, revision } },
    }),
  );
