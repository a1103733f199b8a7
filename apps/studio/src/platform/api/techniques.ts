import type { Answered, Asked } from './bodies.js';
import { client, ifMatch, taken } from './request.js';

export type Technique = Answered<'listTechniques'>['items'][number];
export type TechniqueBody = Asked<'describeTechnique'>;

/** Points are pairs in the API's schema and lists in its types: said here once. */
export const readTechniques = async (
  panelId: string,
  signal: AbortSignal,
): Promise<readonly Technique[]> =>
  (
    await taken(
      client.GET('/v1/panels/{panelId}/techniques', { params: { path: { panelId } }, signal }),
    )
  ).items as readonly unknown[] as readonly Technique[];

/** @param version of the description before; undefined for the first */
export const describeTechnique = (
  pieceId: string,
  body: TechniqueBody,
  version: number | undefined,
): Promise<unknown> =>
  taken(
    client.PUT('/v1/pieces/{pieceId}/technique', {
      params: {
        path: { pieceId },
        ...(version === undefined ? {} : { header: ifMatch(version) }),
      },
      body,
    }),
  );
