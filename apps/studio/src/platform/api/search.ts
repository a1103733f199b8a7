import type { operations } from '#libs/api-client';
import { client, taken } from './request.js';

type Query = NonNullable<operations['search']['parameters']['query']>;

export interface Found {
  readonly kind: string;
  readonly subject: string;
  readonly title: string;
  readonly snippet: string | null;
  readonly happened: string | null;
  readonly rowId: string;
}

export interface Counted {
  readonly value: string;
  readonly label: string;
  readonly count: number;
}

export interface SearchAnswer {
  readonly jump: { readonly fullMark: string; readonly kind?: string } | null;
  readonly items: readonly Found[];
  /** exact up to 10 000; on the first page only */
  readonly total: number | null;
  readonly facets: Readonly<Record<string, readonly Counted[]>> | null;
  readonly next: string | null;
}

/** What is asked, by the names of the search's address; `q` may be missing. */
export type SearchWords = Readonly<Record<string, string | readonly string[] | null | undefined>>;

export const search = (words: SearchWords, signal: AbortSignal): Promise<SearchAnswer> =>
  taken(client.GET('/v1/search', { params: { query: said(words) }, signal }));

export interface FoundPlaces {
  readonly panels: readonly { readonly mark: string; readonly count: number }[];
  readonly pieces: readonly { readonly mark: string; readonly count: number }[];
  readonly isPart: boolean;
}

export const searchPlaces = (
  windowId: string,
  words: SearchWords,
  signal: AbortSignal,
): Promise<FoundPlaces> =>
  taken(
    client.GET('/v1/windows/{windowId}/search', {
      params: { path: { windowId }, query: said(words) },
      signal,
    }),
  );

function said(words: SearchWords): Query {
  return Object.fromEntries(
    Object.entries(words).filter(([, value]) => value !== null && value !== undefined),
  );
}
