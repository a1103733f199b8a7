import type { Placement } from './panels.js';
import { client, ifMatch, taken } from './request.js';

export interface Pair {
  readonly imageXyPx: [number, number];
  readonly panelXyMm: [number, number];
}

/**
 * Lays a picture under the drawing by four or more matching points.
 * @param version of the placement that this one takes the place of
 */
export const layPicture = async (
  panelId: string,
  mediaId: string,
  points: Pair[],
  version?: number,
): Promise<Placement> =>
  (await taken(
    client.PUT('/v1/panels/{panelId}/placements/{mediaId}', {
      params: {
        path: { panelId, mediaId },
        ...(version === undefined ? {} : { header: ifMatch(version) }),
      },
      body: { points },
    }),
  )) as unknown as Placement;
