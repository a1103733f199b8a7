import type { Placement } from './panels.js';
import { put } from './request.js';

export interface Pair {
  readonly imageXyPx: readonly [number, number];
  readonly panelXyMm: readonly [number, number];
}

/** Lays a picture under the drawing by four or more matching points. */
export const layPicture = (
  panelId: string,
  mediaId: string,
  points: readonly Pair[],
  version?: number | string,
): Promise<Placement> => put(`/v1/panels/${panelId}/placements/${mediaId}`, { points }, version);
