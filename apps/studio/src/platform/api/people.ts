import { get, type Page, post, remove } from './request.js';
import type { Role } from './state.js';

export interface Person {
  readonly personId: string;
  readonly displayName: string;
  readonly login: string;
  readonly disabled?: boolean;
  readonly roles: readonly {
    readonly grantId: string;
    readonly siteId: string | null;
    readonly role: Role;
  }[];
}

export interface ApiToken {
  readonly tokenId: string;
  readonly label: string;
  readonly scope: readonly string[];
  readonly siteId: string | null;
  readonly createdAt: string;
  readonly expiresAt: string;
  readonly revokedAt: string | null;
}

/** Lists are answered as pages or, where they are short, as `items` alone. */
export const readPeople = (signal?: AbortSignal): Promise<Page<Person>> =>
  get<Page<Person>>('/v1/people', {}, signal);

export const addPerson = (body: {
  displayName: string;
  login: string;
  password: string;
}): Promise<Person> => post<Person>('/v1/people', body);

export const grantRole = (
  personId: string,
  body: { siteId: string | null; role: Role },
): Promise<unknown> => post(`/v1/people/${personId}/roles`, body);

export const withdrawRole = (personId: string, grantId: string): Promise<unknown> =>
  remove(`/v1/people/${personId}/roles/${grantId}`);

export const readTokens = (signal?: AbortSignal): Promise<Page<ApiToken>> =>
  get<Page<ApiToken>>('/v1/tokens', {}, signal);

export const addToken = (body: {
  label: string;
  scope: readonly string[];
  days: number;
}): Promise<ApiToken & { token: string }> =>
  post('/v1/tokens', {
    label: body.label,
    scope: body.scope,
    siteId: null,
    expiresAt: new Date(Date.now() + body.days * 86_400_000).toISOString(),
  });

export const revokeToken = (tokenId: string): Promise<unknown> => remove(`/v1/tokens/${tokenId}`);
