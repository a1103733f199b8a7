import { Controller, Inject } from '@nestjs/common';
import { hash, verify } from '@node-rs/argon2';
import type { FastifyReply, FastifyRequest } from 'fastify';
import {
  Archive,
  ArchiveKeys,
  grantsOf,
  keysOfArchive,
  type MullionConfig,
  narrowed,
  PROGRAM_VERSION,
  pairDevice,
  pairingSpent,
  roleAmong,
  startArchive,
  Tx,
  uuidV7,
} from '#libs/archive';
import type { PgPool } from '#libs/db';
import { shortFingerprint } from '#libs/ledger';
import { Problem } from '#libs/problem';
import { actorIfAny, idempotencyKeyOf } from '../platform/actor.js';
import { askLauncher } from '../platform/launcher.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { digestOfSecret, SESSION_COOKIE, Sessions } from '../platform/sessions.js';
import { CONFIG, POOL } from '../platform/tokens.js';
import { Attempts } from './attempts.js';
import { OneTimeToken } from './one-time-token.js';
import * as routes from './session.routes.js';

interface PersonRow {
  personId: string;
  displayName: string;
  login: string;
}

@Controller()
export class SessionController {
  readonly #tx: Tx;
  // Checked when nobody has the login, so that an unknown one takes as long as a wrong password.
  readonly #noPerson = hash(uuidV7(Date.now()));

  constructor(
    @Inject(CONFIG) private readonly config: MullionConfig,
    @Inject(POOL) pool: PgPool,
    private readonly archive: Archive,
    private readonly keys: ArchiveKeys,
    private readonly sessions: Sessions,
    private readonly attempts: Attempts,
    private readonly oneTime: OneTimeToken,
  ) {
    this.#tx = new Tx(pool);
  }

  @Route(routes.state)
  async state(@Asked() { request }: AskedFor<typeof routes.state>) {
    const actor = actorIfAny(request);
    const somebody = await this.#tx.first('SELECT 1 FROM person LIMIT 1');
    const { fingerprint } = await this.archive.keyInForce();
    const { keys } = await keysOfArchive(this.#tx);
    const isKeeper = roleAmong(actor?.grants ?? [], null) === 'keeper';
    return {
      mode: somebody === undefined && !this.config.isDemo ? 'choose' : 'ready',
      demo: this.config.isDemo,
      seeding: this.config.isDemo ? await this.#seeding(somebody !== undefined) : null,
      archive: {
        id: this.archive.archiveId,
        fingerprint,
        fingerprintShort: shortFingerprint(fingerprint),
        origin: this.archive.studioOrigin,
        keyChange: keys.at(-1)?.said ?? null,
      },
      // the demo may be thrown away: nothing of it has to be recovered
      recoverySheetDue:
        isKeeper && !this.config.isDemo && (await this.keys.sheetToPrint()) !== undefined,
      me: actor === undefined ? null : meOf(actor, actor.grants),
      version: PROGRAM_VERSION,
    };
  }

  @Route(routes.choose)
  async choose(@Asked() { body }: AskedFor<typeof routes.choose>) {
    // Back from the demo needs no link: the demo holds nothing that could be lost.
    if (!this.config.isDemo) {
      if ((await this.#tx.first('SELECT 1 FROM person LIMIT 1')) !== undefined) {
        throw new Problem(
          'archive-started',
          'The archive is in use. Start the demo by itself: npm start -- --demo.',
        );
      }
      this.oneTime.check(body.token ?? '');
    }
    askLauncher({ kind: 'switch-home', to: body.home });
    return { switching: true };
  }

  @Route(routes.startArchiveRoute)
  async startArchive(@Asked() { body, request, reply }: AskedFor<typeof routes.startArchiveRoute>) {
    const { token, ...person } = body;
    this.oneTime.check(token);
    const { answer } = await this.archive.run(startArchive, person, {
      actorId: uuidV7(Date.now()),
      idempotencyKey: idempotencyKeyOf(request),
    });
    this.oneTime.spend();
    await this.#begin(answer.personId, reply);
    return meOf(answer, answer.roles);
  }

  @Route(routes.signIn)
  async signIn(@Asked() { body, request, reply }: AskedFor<typeof routes.signIn>) {
    if ('pairing' in body) return this.#pair(body.pairing, request, reply);
    const person = await this.#recognised(body, request);
    await this.#begin(person.personId, reply);
    return meOf(person, await grantsOf(this.#tx, person.personId));
  }

  @Route(routes.signOut)
  async signOut(@Asked() { request, reply }: AskedFor<typeof routes.signOut>) {
    const secret = request.cookies[SESSION_COOKIE];
    if (secret !== undefined) await this.sessions.end(secret);
    void reply.clearCookie(SESSION_COOKIE, { path: '/' });
  }

  /** A phone is signed in as the person who showed it the code, for the site and role stated there. */
  async #pair(secret: string, request: FastifyRequest, reply: FastifyReply) {
    const keys = [`from ${request.ip}`];
    this.attempts.check(keys);
    const secretDigest = digestOfSecret(secret);
    const person = await this.#tx.first<PersonRow>(
      `SELECT p.person_id, p.display_name, p.login
       FROM pairing JOIN person p USING (person_id)
       WHERE secret_digest = $1 AND NOT p.disabled`,
      [secretDigest],
    );
    if (person === undefined) {
      this.attempts.failed(keys);
      throw pairingSpent();
    }
    const { answer } = await this.archive.run(
      pairDevice,
      { secretDigest },
      { actorId: person.personId },
    );
    await this.#begin(person.personId, reply, answer.deviceId);
    return meOf(
      person,
      narrowed(await grantsOf(this.#tx, person.personId), answer.siteId, answer.role),
    );
  }

  async #recognised(
    body: Exclude<AskedFor<typeof routes.signIn>['body'], { pairing: string }>,
    request: FastifyRequest,
  ): Promise<PersonRow> {
    if ('demoRole' in body) return this.#demoPerson(body.demoRole);
    if ('token' in body) {
      this.attempts.check([`from ${request.ip}`]);
      return this.#byLink(body.token, request.ip);
    }
    const keys = [`from ${request.ip}`, `login ${body.login}`];
    this.attempts.check(keys);
    const person = await this.#tx.first<PersonRow & { passwordHash: string | null }>(
      `SELECT person_id, display_name, login, password_hash
       FROM person LEFT JOIN keeping.credential USING (person_id)
       WHERE login = $1 AND NOT disabled`,
      [body.login],
    );
    const isRight = await verify(person?.passwordHash ?? (await this.#noPerson), body.password);
    if (person === undefined || person.passwordHash === null || !isRight) {
      this.attempts.failed(keys);
      throw new Problem(
        'sign-in-refused',
        'Check login and password. The keeper can give you a new password.',
      );
    }
    this.attempts.succeeded(keys);
    return person;
  }

  /** The link of start signs in the keeper who was there first: who starts the program may. */
  async #byLink(token: string, from: string): Promise<PersonRow> {
    try {
      this.oneTime.check(token);
    } catch (error) {
      this.attempts.failed([`from ${from}`]);
      throw error;
    }
    const keeper = await this.#tx.first<PersonRow>(
      `SELECT p.person_id, p.display_name, p.login
       FROM person p JOIN role_grant g USING (person_id)
       WHERE g.role = 'keeper' AND g.site_id IS NULL AND NOT p.disabled
       ORDER BY p.created_at LIMIT 1`,
    );
    if (keeper === undefined) {
      throw new Problem(
        'sign-in-refused',
        'Nobody keeps this archive yet. Make the first keeper with this link.',
      );
    }
    this.oneTime.spend();
    return keeper;
  }

  async #demoPerson(demoRole: string): Promise<PersonRow> {
    if (!this.config.isDemo) {
      throw new Problem(
        'demo-only',
        'Signing in by a role is for the demo. Use login and password.',
      );
    }
    const person = await this.#tx.first<PersonRow>(
      `SELECT person_id, display_name, login FROM person
       WHERE display_name = $1 AND NOT disabled ORDER BY created_at LIMIT 1`,
      [demoRole],
    );
    if (person === undefined) {
      throw new Problem(
        'sign-in-refused',
        `The demo has no ${demoRole} yet; it is still being filled. Try again in a moment.`,
      );
    }
    return person;
  }

  async #seeding(isPeopled: boolean): Promise<{ ratio: number; stage: string } | null> {
    const row = await this.#tx.first<{ state: string; ratio: number; stage: string | null }>(
      `SELECT state, ratio, stage FROM job_progress WHERE queue = 'demo.seed'
       ORDER BY asked_at DESC LIMIT 1`,
    );
    if (row === undefined) return isPeopled ? null : { ratio: 0, stage: 'waiting' };
    return row.state === 'done' ? null : { ratio: row.ratio, stage: row.stage ?? row.state };
  }

  async #begin(
    personId: string,
    reply: FastifyReply,
    deviceId: string | null = null,
  ): Promise<void> {
    const { secret, maxAgeS } = await this.sessions.begin(personId, deviceId);
    void reply.setCookie(SESSION_COOKIE, secret, {
      path: '/',
      httpOnly: true,
      sameSite: 'strict',
      // on the workshop's network the phone comes over TLS, the desk over this machine's own loopback
      secure: this.config.hasSecureCookies || reply.request.protocol === 'https',
      maxAge: maxAgeS,
    });
  }
}

function meOf(
  { personId, displayName, login }: Pick<PersonRow, 'personId' | 'displayName' | 'login'>,
  roles: readonly { siteId: string | null; role: string }[],
) {
  return {
    personId,
    displayName,
    login,
    roles: roles.map(({ siteId, role }) => ({ siteId, role })),
  };
}
