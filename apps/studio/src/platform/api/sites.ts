import { client, everyPage, taken } from './request.js';

export interface Site {
  readonly siteId: string;
  readonly code: string;
  readonly unit: string | null;
  readonly name: string;
  readonly scheme: 'church' | 'free';
  readonly place: string | null;
  readonly version: number;
}

/** `SLM` or `SLM:CH`. */
export const siteMark = (site: Pick<Site, 'code' | 'unit'>): string =>
  site.unit ? `${site.code}:${site.unit}` : site.code;

export const readSites = (signal: AbortSignal): Promise<readonly Site[]> =>
  everyPage((after) =>
    taken(client.GET('/v1/sites', { params: { query: after ? { after } : {} }, signal })),
  );

export const addSite = (body: {
  code: string;
  unit?: string;
  name: string;
  scheme: 'church' | 'free';
  place?: string;
}): Promise<Site> => taken(client.POST('/v1/sites', { body }));

export interface MarkPlace {
  readonly kind: string;
  readonly fullMark: string;
  readonly siteId: string;
  readonly windowId: string | null;
  readonly panelId: string | null;
  readonly pieceId: string | null;
}

/** Any mark or alias → where it is. Refused with 404 when nothing bears it. */
export const resolveMark = (mark: string, signal?: AbortSignal): Promise<MarkPlace> =>
  taken(
    client.GET('/v1/marks/{mark}', {
      params: { path: { mark } },
      ...(signal ? { signal } : {}),
    }),
  );
