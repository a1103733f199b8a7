import { client, taken } from './request.js';

export interface Found {
  readonly kind: string;
  readonly subject: string;
  readonly title: string;
  readonly snippet: string | null;
  readonly happened: string | null;
  readonly rowId: string;
}

export interface SearchAnswer {
  readonly jump: { readonly fullMark: string; readonly kind?: string } | null;
  readonly items: readonly Found[];
  readonly next: string | null;
}

export interface SearchWords {
  readonly q: string;
  readonly site?: string | null;
  readonly window?: string | null;
  readonly kind?: string | null;
  readonly stage?: string | null;
  readonly from?: string | null;
  readonly to?: string | null;
  readonly after?: string | null;
}

export const search = (words: SearchWords, signal: AbortSignal): Promise<SearchAnswer> =>
  taken(
    client.GET('/v1/search', {
      params: {
        query: Object.fromEntries(
          Object.entries(words).filter(([, value]) => value !== null && value !== undefined),
        ),
      },
      signal,
    }),
  );
