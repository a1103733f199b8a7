import type { Net } from '#libs/net';
import { client, taken } from './request.js';

export interface NetSummary {
  readonly revision: number;
  readonly rubbingId: string | null;
  readonly mediaId: string | null;
  readonly face: string;
  readonly layer: string;
  readonly signedAt: string | null;
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

export const netFile = (
  panelId: string,
  revision: number,
  file: 'net.svg' | 'net.dxf' | 'net.pdf' | 'schedule.csv' | 'rectified.jpg',
): string => `/v1/panels/${panelId}/nets/${revision}/${file}`;

export const signNet = (panelId: string, revision: number): Promise<unknown> =>
  taken(
    client.POST('/v1/panels/{panelId}/nets/{revision}/sign', {
      params: { path: { panelId, revision } },
    }),
  );
