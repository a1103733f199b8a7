import { client, ifMatch, taken } from './request.js';

/** What is said of one place beside anybody's work on it. */
export interface BackgroundSaid {
  readonly keeper?: string;
  readonly protection?: string;
  readonly made?: { readonly happened: string; readonly by?: string; readonly source?: string };
  readonly technique?: string;
}

export interface Background extends BackgroundSaid {
  /** in full */
  readonly mark: string;
  readonly entrySeq: number;
  readonly version: number;
}

/** @returns what is said of the place and of what it lies in, the nearest first */
export const readBackgrounds = async (
  subject: string,
  signal: AbortSignal,
): Promise<{ readonly mark: string; readonly items: readonly Background[] }> =>
  taken(client.GET('/v1/backgrounds', { params: { query: { subject } }, signal }));

/** @param version of what stood there when it was read; null: nothing did */
export const describeBackground = (
  siteId: string,
  mark: string,
  said: BackgroundSaid,
  version: number | null,
): Promise<unknown> =>
  taken(
    client.PUT('/v1/sites/{siteId}/backgrounds', {
      params: {
        path: { siteId },
        ...(version === null ? {} : { header: ifMatch(version) }),
      },
      body: { mark, ...said },
    }),
  );
