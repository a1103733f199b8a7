import { client, everyPage, taken } from './request.js';

export type DossierKind = 'handed-out' | 'keepers';

export interface Dossier {
  readonly dossierId: string;
  readonly subject: string;
  readonly kind: DossierKind;
  readonly state: 'waiting' | 'ready';
  readonly sizeBytes?: number | null;
  readonly askedAt?: string | null;
}

/** A dossier is of a site, a window or a panel; a piece goes with its panel. */
export const dossierSubject = (mark: string): string => mark.split('.').slice(0, 3).join('.');

export const makeDossier = (
  siteId: string,
  body: { subject: string; kind: DossierKind },
): Promise<{ dossierId: string; jobId: string }> =>
  taken(client.POST('/v1/sites/{siteId}/dossiers', { params: { path: { siteId } }, body }));

export const readDossiers = (siteId: string, signal: AbortSignal): Promise<readonly Dossier[]> =>
  everyPage((after) =>
    taken(
      client.GET('/v1/sites/{siteId}/dossiers', {
        params: { path: { siteId }, query: after ? { after } : {} },
        signal,
      }),
    ),
  );

export const dossierFile = (dossierId: string): string => `/v1/dossiers/${dossierId}/file`;

export const recordFile = (
  kind: 'condition' | 'treatment',
  subject: string,
  format: 'html' | 'pdf' | 'json',
): string => `/v1/records/${kind}?${new URLSearchParams({ subject, format }).toString()}`;
