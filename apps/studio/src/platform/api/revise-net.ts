import { type Drawing, sketchOfDrawing } from '#libs/net';
import { client, ifMatch, taken } from './request.js';

/**
 * Sends a drawing as the next revision.
 *
 * @param after the revision that it was drawn on; another one lies in the archive: refused with 412
 */
export const reviseNet = async (
  panelId: string,
  drawing: Drawing,
  note: string,
  after: number,
): Promise<number> => {
  const { sketch, doubtfulPlaces } = sketchOfDrawing(drawing);
  // Points are pairs here and lists in the API's types: said here once.
  const body = { sketch, doubtfulPlaces, numbers: drawing.numbers, note } as never;
  const { revision } = await taken(
    client.POST('/v1/panels/{panelId}/nets', {
      params: { path: { panelId }, header: ifMatch(after) },
      body,
    }),
  );
  return revision;
};
