import { client, everyPage, taken } from './request.js';

export interface Intervention {
  readonly interventionId: string;
  readonly subjects: readonly string[];
  readonly operation: string;
  readonly material: string | null;
  readonly detail: Readonly<Record<string, unknown>> | null;
  readonly byRole: string | null;
  readonly byText: string | null;
  readonly happened: string | null;
  readonly images: readonly string[];
  readonly note: string | null;
  readonly evidence: string | null;
  readonly entrySeq: number;
}

export interface InterventionBody {
  readonly subjects: string[];
  readonly operation: string;
  readonly material?: string;
  readonly byRole?: string;
  readonly byText?: string;
  /** EDTF: 1998, 1931~, 2026-03/2026-05 */
  readonly happened: string;
  readonly images?: string[];
  readonly note?: string;
  readonly evidence?: string;
  readonly detail?: Record<string, string | number>;
}

/** @param subject full mark: what was done to it and to what is within it; null: the whole site */
export const readInterventions = (
  siteId: string,
  subject: string | null,
  signal: AbortSignal,
): Promise<readonly Intervention[]> =>
  everyPage((after) =>
    taken(
      client.GET('/v1/sites/{siteId}/interventions', {
        params: {
          path: { siteId },
          query: { ...(subject === null ? {} : { subject }), ...(after ? { after } : {}) },
        },
        signal,
      }),
    ),
  );

/** @param key under which it is written once, however often it is sent */
export const recordIntervention = (
  siteId: string,
  body: InterventionBody,
  key?: string,
): Promise<unknown> =>
  taken(
    client.POST('/v1/sites/{siteId}/interventions', {
      params: { path: { siteId } },
      body,
      ...(key === undefined ? {} : { headers: { 'Idempotency-Key': key } }),
    }),
  );
