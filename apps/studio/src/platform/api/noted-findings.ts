import type { NotedBody } from '../../phone/findings/noted.js';
import type { Finding } from './findings.js';
import { client, ifMatch, taken } from './request.js';

export interface WrittenFinding {
  readonly findingId: string;
  readonly entry: { readonly logId: string; readonly seq: number };
}

/**
 * Records a finding that was written down before, under its own key: sent again, it is there once. With
 * an id of its own it is there once whoever sends it; then 409 `finding-known` names its entry.
 *
 * @param corrects the finding that it supersedes, at the version that was seen
 * @throws Refused; status 412 when the version is another, 409 when the finding was withdrawn
 */
export async function sendNoted(
  panelId: string,
  body: NotedBody & { readonly findingId?: string },
  key: string,
  corrects: { readonly findingId: string; readonly version: number } | null,
  signal: AbortSignal,
): Promise<WrittenFinding> {
  const headers = { 'Idempotency-Key': key };
  if (corrects === null)
    return taken(
      client.POST('/v1/panels/{panelId}/findings', {
        params: { path: { panelId } },
        body,
        headers,
        signal,
      }),
    );
  const { findingId, version } = corrects;
  return taken(
    client.PUT('/v1/findings/{findingId}', {
      params: { path: { findingId }, header: ifMatch(version) },
      body,
      headers,
      signal,
    }),
  );
}

export type ReadFinding = Finding & { readonly siteId: string };

/** Points are pairs in the API's schema and lists in its types: said here once. */
export const readFinding = async (findingId: string, signal: AbortSignal): Promise<ReadFinding> =>
  (await taken(
    client.GET('/v1/findings/{findingId}', { params: { path: { findingId } }, signal }),
  )) as unknown as ReadFinding;
