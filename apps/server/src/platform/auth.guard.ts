import { type CanActivate, type ExecutionContext, Injectable } from '@nestjs/common';
import type { FastifyRequest } from 'fastify';
import { Problem } from '#libs/problem';
import { actorOf, rememberActor } from './actor.js';
import { ROUTE, type RouteDefinition } from './route.js';
import { SESSION_COOKIE, Sessions } from './sessions.js';

const READS = new Set(['GET', 'HEAD', 'OPTIONS']);

/** Tells who asks, and lets nobody pass who must sign in first. Roles at sites are asked further in. */
@Injectable()
export class AuthGuard implements CanActivate {
  constructor(private readonly sessions: Sessions) {}

  async canActivate(context: ExecutionContext): Promise<boolean> {
    const request = context.switchToHttp().getRequest<FastifyRequest>();
    const definition = Reflect.getMetadata(ROUTE, context.getHandler()) as
      | RouteDefinition
      | undefined;
    const isRead = READS.has(request.method);
    const bearer = /^Bearer +(\S+)$/i.exec(request.headers.authorization ?? '')?.[1];
    if (bearer === undefined) {
      if (!isRead) refuseOtherOrigins(request);
      const secret = request.cookies[SESSION_COOKIE];
      const actor = secret === undefined ? undefined : await this.sessions.byCookie(secret);
      if (actor !== undefined) rememberActor(request, actor);
    } else {
      const found = await this.sessions.byToken(bearer);
      if (found === undefined) {
        throw new Problem(
          'sign-in-required',
          'The token is unknown, revoked or expired. Make a new one.',
        );
      }
      const needed = isRead ? 'read' : 'write';
      if (!found.scope.includes(needed)) {
        throw new Problem(
          'token-scope',
          `This token lacks the scope ${needed}. Make one that has it.`,
        );
      }
      rememberActor(request, found.actor);
    }
    if (definition?.access !== 'public') actorOf(request);
    return true;
  }
}

/**
 * A page of another origin must not write with our cookie. Browsers say where a request comes from
 * in Sec-Fetch-Site (W3C Fetch Metadata) or Origin; a program that sends neither has no cookie that
 * somebody else could borrow.
 */
function refuseOtherOrigins(request: FastifyRequest): void {
  const site = request.headers['sec-fetch-site'];
  const origin = request.headers.origin;
  const isSame =
    site !== undefined
      ? site === 'same-origin' || site === 'none'
      : origin === undefined ||
        (URL.canParse(origin) && new URL(origin).host === request.headers.host);
  if (isSame) return;
  throw new Problem(
    'cross-origin-refused',
    'Open the studio at the archive’s own address and do it there; programs use an API token.',
  );
}
