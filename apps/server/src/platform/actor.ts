import type { FastifyRequest } from 'fastify';
import {
  type Asking,
  isAtLeast,
  type Narrowed,
  type Role,
  roleAmong,
  unknown,
} from '#libs/archive';
import { Problem } from '#libs/problem';

/** Who asks, and with what. */
export interface Actor {
  readonly personId: string;
  readonly displayName: string;
  readonly login: string;
  /** narrowed already when a token or a phone is for one site or role only */
  readonly grants: readonly Narrowed[];
  readonly via: 'cookie' | 'token';
  readonly onlySiteId: string | null;
  /** set on a paired phone, which may do no more than this */
  readonly mostRole: Role | null;
}

const ACTOR = Symbol('actor');

type WithActor = FastifyRequest & { [ACTOR]?: Actor };

export function rememberActor(request: FastifyRequest, actor: Actor): void {
  (request as WithActor)[ACTOR] = actor;
}

export function actorIfAny(request: FastifyRequest): Actor | undefined {
  return (request as WithActor)[ACTOR];
}

/** @throws {Problem} `sign-in-required` */
export function actorOf(request: FastifyRequest): Actor {
  const actor = actorIfAny(request);
  if (actor === undefined) {
    throw new Problem(
      'sign-in-required',
      'Sign in, or send an API token as Authorization: Bearer.',
    );
  }
  return actor;
}

/** What a command needs to know of the request. */
export function askingOf(request: FastifyRequest): Asking {
  const actor = actorOf(request);
  return {
    actorId: actor.personId,
    idempotencyKey: idempotencyKeyOf(request),
    ifMatch: ifMatchOf(request),
    onlySiteId: actor.onlySiteId,
    mostRole: actor.mostRole,
  };
}

/** @throws {Problem} `request-invalid` for a key that is empty or longer than 200 characters */
export function idempotencyKeyOf(request: FastifyRequest): string | undefined {
  const key = headerOf(request, 'idempotency-key');
  if (key !== undefined && (key === '' || key.length > 200)) {
    throw new Problem('request-invalid', 'Idempotency-Key: 1 to 200 characters, e.g. a UUID.', {
      field: 'Idempotency-Key',
    });
  }
  return key;
}

/** Version in `If-Match: "7"`; RFC 9110 section 13.1.1, one strong tag. */
export function ifMatchOf(request: FastifyRequest): string | undefined {
  const text = headerOf(request, 'if-match')?.trim();
  if (text === undefined) return undefined;
  const tag = /^"?([^",]+)"?$/.exec(text)?.[1];
  if (tag === undefined || tag === '*') {
    throw new Problem('request-invalid', 'If-Match: send one version in quotes, as ETag gave it.', {
      field: 'If-Match',
    });
  }
  return tag;
}

function headerOf(request: FastifyRequest, name: string): string | undefined {
  const value = request.headers[name];
  return Array.isArray(value) ? value[0] : value;
}

/**
 * Sites that the actor may read; 'all' when a role holds for the whole studio. For filters in
 * queries: `where: { siteId: inSites(actor) }`.
 */
export function readableSites(actor: Actor): 'all' | string[] {
  if (actor.grants.some((grant) => grant.siteId === null)) return 'all';
  return actor.grants.flatMap((grant) => (grant.siteId === null ? [] : [grant.siteId]));
}

/** Prisma filter on `siteId`; empty when everything may be read. */
export function inReadableSites(actor: Actor): { siteId?: { in: string[] } } {
  const sites = readableSites(actor);
  return sites === 'all' ? {} : { siteId: { in: sites } };
}

export function roleOf(actor: Actor, siteId: string | null): Role | null {
  return roleAmong(actor.grants, siteId);
}

/**
 * What opens further doors (passwords, tokens, phones) is done by somebody who signed in.
 *
 * @throws {Problem} `role-insufficient` on a paired phone
 */
export function needOwnSignIn(actor: Actor): void {
  if (actor.mostRole === null) return;
  throw new Problem(
    'role-insufficient',
    'This is not done on a paired phone. Sign in with login and password and do it there.',
  );
}

/** @throws {Problem} `site-unknown` (may not read), `role-insufficient` */
export function needRole(actor: Actor, siteId: string | null, needed: Role): void {
  const role = roleOf(actor, siteId);
  if (role === null && siteId !== null) throw unknown('site');
  if (isAtLeast(role, needed)) return;
  throw new Problem(
    'role-insufficient',
    `This needs the role ${needed}; you hold ${role ?? 'none'}. Ask the keeper.`,
    { neededRole: needed },
  );
}

/**
 * Whether somebody works in the studio at this site. An approver alone may be the owner outside, who
 * allows the work and reads neither its hours nor its prices; one who holds another role as well may.
 * A phone that is narrowed to recording does not bring its owner in: what the owner holds counts.
 */
export function isOfStudio(actor: Actor, siteId: string): boolean {
  return actor.grants.some(
    (grant) =>
      (grant.siteId === null || grant.siteId === siteId) &&
      grant.role !== 'reader' &&
      grant.held !== 'approver',
  );
}

/** @throws {Problem} `site-unknown` (may not read), `role-insufficient` */
export function needOfStudio(actor: Actor, siteId: string): void {
  needRole(actor, siteId, 'recorder');
  if (isOfStudio(actor, siteId)) return;
  throw new Problem(
    'role-insufficient',
    'Hours and prices are read inside the studio. Ask the keeper for the estimate on paper.',
    { neededRole: 'recorder' },
  );
}
