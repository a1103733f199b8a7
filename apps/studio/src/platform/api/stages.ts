import { client, taken } from './request.js';

/** One picture of how a drawing was found. */
export interface Stage {
  readonly key: string;
  readonly title: string;
  readonly caption: string;
  readonly widthPx: number;
  readonly heightPx: number;
  /** panel mm → its px, 3 × 3 row by row */
  readonly imageFromPanel: readonly number[] | null;
}

/** @param revision one that the machine read */
export const readStages = async (
  panelId: string,
  revision: number,
  signal: AbortSignal,
): Promise<readonly Stage[]> =>
  (
    await taken(
      client.GET('/v1/panels/{panelId}/nets/{revision}/stages', {
        params: { path: { panelId, revision } },
        signal,
      }),
    )
  ).items;

export const stagePicture = (panelId: string, revision: number, key: string): string =>
  `/v1/panels/${panelId}/nets/${revision}/stages/${key}.jpg`;
