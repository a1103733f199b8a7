import { client, everyPage, taken } from './request.js';
import type { Role } from './state.js';

export interface Person {
  readonly personId: string;
  readonly displayName: string;
  readonly login: string;
  readonly disabled: boolean;
  /** then the name is a pseudonym */
  readonly erasedAt?: string | null;
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

export const readPeople = (signal: AbortSignal): Promise<readonly Person[]> =>
  everyPage((after) =>
    taken(client.GET('/v1/people', { params: { query: after ? { after } : {} }, signal })),
  );

export const addPerson = (body: {
  displayName: string;
  login: string;
  password: string;
}): Promise<Person> => taken(client.POST('/v1/people', { body }));

export const grantRole = (
  personId: string,
  body: { siteId: string | null; role: Role },
): Promise<unknown> =>
  taken(client.POST('/v1/people/{personId}/roles', { params: { path: { personId } }, body }));

export const withdrawRole = (personId: string, grantId: string): Promise<unknown> =>
  taken(
    client.DELETE('/v1/people/{personId}/roles/{grantId}', {
      params: { path: { personId, grantId } },
    }),
  );

/** Where somebody is named; `texts` are notes, which erasing does not reach. */
export interface NameTraces {
  readonly fields: readonly { readonly kind: string; readonly subject: string | null }[];
  readonly texts: readonly { readonly subject: string }[];
  readonly dossiers: number;
}

export const readPersonTraces = (personId: string): Promise<NameTraces> =>
  taken(client.GET('/v1/people/{personId}/traces', { params: { path: { personId } } }));

export const findNameTraces = (name: string): Promise<NameTraces> =>
  taken(client.POST('/v1/names/traces', { body: { name } }));

export const erasePerson = (
  personId: string,
  body: { reason: string; otherSpellings: string[] },
): Promise<unknown> =>
  taken(client.POST('/v1/people/{personId}/erase', { params: { path: { personId } }, body }));

export const eraseName = (body: { name: string; reason: string }): Promise<unknown> =>
  taken(client.POST('/v1/names/erase', { body }));

export const readTokens = async (signal: AbortSignal): Promise<readonly ApiToken[]> =>
  (await taken(client.GET('/v1/tokens', { signal }))).items;

export const addToken = (body: {
  label: string;
  scope: ('read' | 'write')[];
  days: number;
}): Promise<ApiToken & { token: string }> =>
  taken(
    client.POST('/v1/tokens', {
      body: {
        label: body.label,
        scope: body.scope,
        siteId: null,
        expiresAt: new Date(Date.now() + body.days * 86_400_000).toISOString(),
      },
    }),
  );

export const revokeToken = (tokenId: string): Promise<unknown> =>
  taken(client.DELETE('/v1/tokens/{tokenId}', { params: { path: { tokenId } } }));
