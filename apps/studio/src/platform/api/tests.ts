import type { Answered, Asked } from './bodies.js';
import { client, taken } from './request.js';

export type Test = Answered<'listTests'>['items'][number];
export type TestBody = Asked<'recordTest'>;

/** Of a place and of what lies in it, newest first; withdrawn ones too. */
export const readTests = async (
  siteId: string,
  subject: string,
  signal: AbortSignal,
): Promise<readonly Test[]> =>
  // Points are pairs in the API's schema and lists in its types.
  (
    await taken(
      client.GET('/v1/sites/{siteId}/tests', {
        params: { path: { siteId }, query: { subject } },
        signal,
      }),
    )
  ).items as unknown as readonly Test[];

export const recordTest = (siteId: string, body: TestBody): Promise<unknown> =>
  taken(client.POST('/v1/sites/{siteId}/tests', { params: { path: { siteId } }, body }));

export const answerTest = (testId: string, body: Asked<'answerTest'>): Promise<unknown> =>
  taken(client.POST('/v1/tests/{testId}/result', { params: { path: { testId } }, body }));
