import type { Answered, Asked } from './bodies.js';
import { client, taken } from './request.js';

export type Tray = Answered<'trayOfShards'>;
export type Proposal = NonNullable<NonNullable<Tray['assembly']>['proposal']>;
export type Kept = NonNullable<Tray['kept']>;
export type ShardPicture = Tray['pictures'][number];
export type AssemblyBody = Asked<'askAssembly'>;
export type JoiningBody = Asked<'keepJoining'>;

const at = (panelId: string, piece: string) => ({ params: { path: { panelId, piece } } });

/** Points are pairs in the API's schema and lists in its types: said here once. */
export const readTray = async (
  panelId: string,
  piece: string,
  signal: AbortSignal,
): Promise<Tray> =>
  (await taken(
    client.GET('/v1/panels/{panelId}/shards/{piece}', { ...at(panelId, piece), signal }),
  )) as unknown as Tray;

export const askAssembly = (panelId: string, piece: string, body: AssemblyBody) =>
  taken(
    client.POST('/v1/panels/{panelId}/shards/{piece}/assemblies', { ...at(panelId, piece), body }),
  );

export const keepJoining = (panelId: string, piece: string, body: JoiningBody) =>
  taken(
    client.POST('/v1/panels/{panelId}/shards/{piece}/joinings', { ...at(panelId, piece), body }),
  );

export const withdrawJoining = (joiningId: string, why: string): Promise<unknown> =>
  taken(
    client.POST('/v1/joinings/{joiningId}/withdraw', {
      params: { path: { joiningId } },
      body: { reason: why },
    }),
  );

export const missingPath = (joiningId: string, format: 'svg' | 'dxf', isTurned: boolean): string =>
  `/v1/joinings/${joiningId}/missing.${format}${isTurned ? '?mirrored=true' : ''}`;
