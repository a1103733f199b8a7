import { client, taken } from './request.js';

export const roles = ['reader', 'recorder', 'conservator', 'approver', 'keeper'] as const;
export type Role = (typeof roles)[number];

export const demoRoles = ['Surveyor', 'Glazier', 'Painter', 'Studio head'] as const;
export type DemoRole = (typeof demoRoles)[number];

export interface Me {
  readonly personId: string;
  readonly displayName: string;
  readonly login: string;
  readonly roles: readonly { readonly siteId: string | null; readonly role: Role }[];
}

/** What the archive says of itself before anybody signs in. */
export interface ArchiveState {
  readonly mode: 'choose' | 'ready';
  readonly demo: boolean;
  readonly seeding: { readonly ratio: number; readonly stage: string } | null;
  readonly archive: {
    readonly id: string;
    readonly fingerprint: string;
    readonly fingerprintShort: string;
    readonly origin: string;
    /** how the key was changed last; null while it is the first */
    readonly keyChange: string | null;
  };
  /** the recovery sheet waits for this person to print it */
  readonly recoverySheetDue: boolean;
  readonly me: Me | null;
  readonly version: string;
}

export const readState = (signal: AbortSignal): Promise<ArchiveState> =>
  taken(client.GET('/v1/state', { signal }));

export const chooseHome = (home: 'demo' | 'archive', token: string): Promise<unknown> =>
  taken(client.POST('/v1/choose', { body: { home, token } }));

export const startArchive = (body: {
  token: string;
  displayName: string;
  login: string;
  password: string;
}): Promise<unknown> => taken(client.POST('/v1/first-keeper', { body }));

export const signIn = (
  body:
    | { login: string; password: string }
    | { token: string }
    | { demoRole: DemoRole }
    | { pairing: string },
): Promise<unknown> => taken(client.POST('/v1/session', { body }));

export const signOut = (): Promise<unknown> => taken(client.DELETE('/v1/session', {}));

/** May this person do what needs `least` at the site (null: everywhere)? Roles are ordered. */
export function mayDo(me: Me | null, siteId: string | null, least: Role): boolean {
  return (
    me?.roles.some(
      (grant) =>
        (grant.siteId === null || grant.siteId === siteId) &&
        roles.indexOf(grant.role) >= roles.indexOf(least),
    ) ?? false
  );
}

/**
 * Is this somebody of the studio, who reads hours and prices there? An approver alone may be the owner
 * outside. The archive decides; this only keeps a room from being offered that would stay shut.
 */
export const isOfStudio = (me: Me | null, siteId: string): boolean =>
  me?.roles.some(
    ({ siteId: at, role }) =>
      (at === null || at === siteId) && role !== 'reader' && role !== 'approver',
  ) ?? false;
