import type { Net } from '#libs/net';
import { get, type Page, post, type Written } from './request.js';

export interface NetSummary {
  readonly revision: number;
  readonly rubbingId: string | null;
  readonly mediaId: string | null;
  readonly face: string;
  readonly layer: string;
  readonly summary: Readonly<Record<string, unknown>>;
  readonly signedAt: string | null;
  readonly recordedAt: string;
}

export async function readNets(
  panelId: string,
  signal?: AbortSignal,
): Promise<readonly NetSummary[]> {
  return (await get<Page<NetSummary>>(`/v1/panels/${panelId}/nets`, {}, signal)).items;
}

export const readNet = (panelId: string, revision: number, signal?: AbortSignal): Promise<Net> =>
  get<Net>(`/v1/panels/${panelId}/nets/${revision}`, {}, signal);

export const netFile = (
  panelId: string,
  revision: number,
  file: 'net.svg' | 'net.dxf' | 'net.pdf' | 'schedule.csv' | 'rectified.jpg',
): string => `/v1/panels/${panelId}/nets/${revision}/${file}`;

export const signNet = (panelId: string, revision: number): Promise<Written> =>
  post(`/v1/panels/${panelId}/nets/${revision}/sign`, {});
