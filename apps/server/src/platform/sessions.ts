import { createHash, randomBytes } from 'node:crypto';
import { Inject, Injectable } from '@nestjs/common';
import { type Grant, narrowed, type Role, Tx } from '#libs/archive';
import type { PgPool } from '#libs/db';
import type { Actor } from './actor.js';
import { POOL } from './tokens.js';

export const SESSION_COOKIE = 'mullion_session';
const SESSION_DAYS = 14;
/** A phone may be away from the workshop for weeks; a keeper ends it at any time. */
const DEVICE_DAYS = 60;

interface FoundPerson {
  personId: string;
  displayName: string;
  login: string;
  grants: Grant[];
  onlySiteId: string | null;
  mostRole: Role | null;
  scope: string[];
}

const PERSON = `p.person_id, p.display_name, p.login,
  coalesce((SELECT json_agg(json_build_object('siteId', g.site_id, 'role', g.role))
            FROM role_grant g WHERE g.person_id = p.person_id), '[]') AS grants`;

/** Who is behind a cookie or a token. Only digests of secrets are kept. */
@Injectable()
export class Sessions {
  readonly #tx: Tx;

  constructor(@Inject(POOL) pool: PgPool) {
    this.#tx = new Tx(pool);
  }

  async byCookie(secret: string): Promise<Actor | undefined> {
    const found = await this.#tx.firstPrepared<FoundPerson>(
      `SELECT ${PERSON}, d.site_id AS only_site_id, d.role AS most_role
       FROM session s JOIN person p USING (person_id) LEFT JOIN device d USING (device_id)
       WHERE s.token_digest = $1 AND s.expires_at > now() AND NOT p.disabled
         AND (s.device_id IS NULL OR (d.device_id IS NOT NULL AND d.ended_at IS NULL))`,
      [digestOfSecret(secret)],
    );
    return found && actorFrom(found, 'cookie');
  }

  /** The actor and what the token allows. */
  async byToken(secret: string): Promise<{ actor: Actor; scope: readonly string[] } | undefined> {
    const found = await this.#tx.firstPrepared<FoundPerson>(
      `SELECT ${PERSON}, t.site_id AS only_site_id, NULL AS most_role, t.scope
       FROM api_token t JOIN person p USING (person_id)
       WHERE t.token_digest = $1 AND t.expires_at > now() AND t.revoked_at IS NULL AND NOT p.disabled`,
      [digestOfSecret(secret)],
    );
    return found && { actor: actorFrom(found, 'token'), scope: found.scope };
  }

  /** Begins a session; the secret is for the cookie and is told once. */
  async begin(
    personId: string,
    deviceId: string | null = null,
  ): Promise<{ secret: string; maxAgeS: number }> {
    const secret = newSecret();
    const days = deviceId === null ? SESSION_DAYS : DEVICE_DAYS;
    await this.#tx.run('DELETE FROM session WHERE expires_at < now()');
    await this.#tx.run(
      `INSERT INTO session (token_digest, person_id, created_at, expires_at, device_id)
       VALUES ($1, $2, now(), now() + make_interval(days => $3), $4)`,
      [digestOfSecret(secret), personId, days, deviceId],
    );
    return { secret, maxAgeS: days * 86_400 };
  }

  async end(secret: string): Promise<void> {
    await this.#tx.run('DELETE FROM session WHERE token_digest = $1', [digestOfSecret(secret)]);
  }
}

export function newSecret(): string {
  return randomBytes(32).toString('base64url');
}

export function digestOfSecret(secret: string): string {
  return createHash('sha256').update(secret).digest('hex');
}

function actorFrom(found: FoundPerson, via: Actor['via']): Actor {
  const { personId, displayName, login, onlySiteId, mostRole } = found;
  return {
    personId,
    displayName,
    login,
    via,
    onlySiteId,
    mostRole,
    grants: narrowed(found.grants, onlySiteId, mostRole),
  };
}
