import { get, type Page, pathWith, post } from './request.js';

export type DossierKind = 'handed-out' | 'keepers';

export interface Dossier {
  readonly dossierId: string;
  readonly subject: string;
  readonly kind: DossierKind;
  readonly state?: string;
  readonly sizeBytes?: number | null;
  readonly digest?: string | null;
  readonly madeAt?: string | null;
  readonly askedAt?: string | null;
}

export const makeDossier = (
  siteId: string,
  body: { subject: string; kind: DossierKind },
): Promise<{ dossierId: string; jobId: string }> => post(`/v1/sites/${siteId}/dossiers`, body);

export async function readDossiers(
  siteId: string,
  signal?: AbortSignal,
): Promise<readonly Dossier[]> {
  return (await get<Page<Dossier>>(`/v1/sites/${siteId}/dossiers`, {}, signal)).items;
}

export const dossierFile = (dossierId: string): string => `/v1/dossiers/${dossierId}/file`;

export const recordFile = (
  kind: 'condition' | 'treatment',
  subject: string,
  format: 'html' | 'pdf' | 'json',
): string => pathWith(`/v1/records/${kind}`, { subject, format });
