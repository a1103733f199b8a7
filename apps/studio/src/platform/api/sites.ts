import { everyPage, get, post, type Written } from './request.js';

export interface Site {
  readonly siteId: string;
  readonly code: string;
  readonly unit: string | null;
  readonly name: string;
  readonly scheme: 'church' | 'free';
  readonly place: string | null;
  readonly version: number | string;
}

/** `SLM` or `SLM:CH`. */
export const siteMark = (site: Pick<Site, 'code' | 'unit'>): string =>
  site.unit ? `${site.code}:${site.unit}` : site.code;

export const readSites = (signal?: AbortSignal): Promise<readonly Site[]> =>
  everyPage<Site>('/v1/sites', {}, signal);

export const addSite = (body: {
  code: string;
  unit?: string;
  name: string;
  scheme: 'church' | 'free';
  place?: string;
}): Promise<Site & Written> => post('/v1/sites', body);

export interface MarkPlace {
  readonly kind: string;
  readonly fullMark: string;
  readonly siteId: string;
  readonly windowId?: string | null;
  readonly panelId?: string | null;
  readonly pieceId?: string | null;
}

/** Any mark or alias → where it is. Refused with 404 when nothing bears it. */
export const resolveMark = (mark: string, signal?: AbortSignal): Promise<MarkPlace> =>
  get<MarkPlace>(`/v1/marks/${encodeURIComponent(mark)}`, {}, signal);

export const addAlias = (
  siteId: string,
  body: { mark: string; scheme: string; text: string; source: string },
): Promise<unknown> => post(`/v1/sites/${siteId}/aliases`, body);
