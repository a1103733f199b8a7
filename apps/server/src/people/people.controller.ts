import { Controller } from '@nestjs/common';
import { z } from 'zod';
import {
  Archive,
  addPerson,
  disablePerson,
  eraseName,
  erasePerson,
  findRow,
  grantRole,
  idSchema,
  nameTraces,
  type Role,
  setPassword,
  uuidV7,
  withdrawRole,
} from '#libs/archive';
import { Db } from '#libs/db';
import { Problem } from '#libs/problem';
import { needOwnSignIn, needRole } from '../platform/actor.js';
import { page, readCursor } from '../platform/paging.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { run } from '../platform/run.js';
import { digestOfSecret, newSecret } from '../platform/sessions.js';
import * as routes from './people.routes.js';

const TOKEN_DAYS_MAX = 400;

@Controller()
export class PeopleController {
  constructor(
    private readonly archive: Archive,
    private readonly db: Db,
  ) {}

  @Route(routes.listPeople)
  async listPeople(@Asked() { actor, query }: AskedFor<typeof routes.listPeople>) {
    needRole(actor, null, 'keeper');
    const after = readCursor(query.after, z.tuple([idSchema]));
    const people = await this.db.person.findMany({
      ...(after === undefined ? {} : { where: { personId: { gt: after[0] } } }),
      orderBy: { personId: 'asc' },
      take: query.limit + 1,
    });
    const grants = await this.db.roleGrant.findMany({
      where: { personId: { in: people.map((person) => person.personId) } },
      orderBy: { grantId: 'asc' },
    });
    const rows = people.map(({ personId, displayName, login, disabled, erasedAt }) => ({
      personId,
      displayName,
      login,
      disabled,
      erasedAt: erasedAt?.toISOString() ?? null,
      roles: grants
        .filter((grant) => grant.personId === personId)
        .map(({ grantId, siteId, role }) => ({ grantId, siteId, role: role as Role })),
    }));
    return page(rows, query.limit, (row) => [row.personId]);
  }

  @Route(routes.addPerson)
  addPerson(@Asked() asked: AskedFor<typeof routes.addPerson>) {
    return run(this.archive, addPerson, asked.body, asked);
  }

  @Route(routes.grantRole)
  grantRole(@Asked() asked: AskedFor<typeof routes.grantRole>) {
    return run(this.archive, grantRole, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.withdrawRole)
  withdrawRole(@Asked() asked: AskedFor<typeof routes.withdrawRole>) {
    return run(this.archive, withdrawRole, asked.params, asked);
  }

  @Route(routes.setPassword)
  setPassword(@Asked() asked: AskedFor<typeof routes.setPassword>) {
    needOwnSignIn(asked.actor);
    return run(this.archive, setPassword, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.disablePerson)
  disablePerson(@Asked() asked: AskedFor<typeof routes.disablePerson>) {
    return run(this.archive, disablePerson, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.readPersonTraces)
  async readPersonTraces(@Asked() { actor, params }: AskedFor<typeof routes.readPersonTraces>) {
    needRole(actor, null, 'keeper');
    const { personId } = params;
    const { reads } = this.archive;
    const row = await findRow(reads, 'person', { personId });
    if (row === undefined) {
      throw new Problem('person-unknown', 'No person has this id. Read the list of people again.');
    }
    return nameTraces(reads, personId, row.erasedAt === null ? [row.displayName, row.login] : []);
  }

  @Route(routes.findNameTraces)
  findNameTraces(@Asked() { actor, body }: AskedFor<typeof routes.findNameTraces>) {
    needRole(actor, null, 'keeper');
    return nameTraces(this.archive.reads, null, [body.name]);
  }

  @Route(routes.erasePerson)
  erasePerson(@Asked() asked: AskedFor<typeof routes.erasePerson>) {
    return run(this.archive, erasePerson, { ...asked.body, ...asked.params }, asked);
  }

  @Route(routes.eraseName)
  eraseName(@Asked() asked: AskedFor<typeof routes.eraseName>) {
    return run(this.archive, eraseName, asked.body, asked);
  }

  @Route(routes.listTokens)
  async listTokens(@Asked() { actor }: AskedFor<typeof routes.listTokens>) {
    const tokens = await this.db.apiToken.findMany({
      where: { personId: actor.personId },
      orderBy: { createdAt: 'desc' },
      take: 500,
    });
    return { items: tokens.map(tokenView), next: null };
  }

  @Route(routes.addToken)
  async addToken(@Asked() { actor, body }: AskedFor<typeof routes.addToken>) {
    if (actor.via === 'token') {
      throw new Problem('token-scope', 'A token cannot make another. Sign in and make it there.');
    }
    needOwnSignIn(actor);
    if (body.siteId !== null) needRole(actor, body.siteId, 'reader');
    const createdAt = new Date();
    const expiresAt = new Date(body.expiresAt);
    const days = (expiresAt.getTime() - createdAt.getTime()) / 86_400_000;
    if (days <= 0 || days > TOKEN_DAYS_MAX) {
      throw new Problem(
        'request-invalid',
        `expiresAt: a time within the next ${TOKEN_DAYS_MAX} days.`,
        {
          field: 'expiresAt',
        },
      );
    }
    const token = `mullion_${newSecret()}`;
    const row = await this.db.apiToken.create({
      data: {
        tokenDigest: digestOfSecret(token),
        tokenId: uuidV7(createdAt.getTime()),
        personId: actor.personId,
        label: body.label,
        scope: [...new Set(body.scope)],
        siteId: body.siteId,
        createdAt,
        expiresAt,
      },
    });
    return { ...tokenView(row), token };
  }

  @Route(routes.revokeToken)
  async revokeToken(@Asked() { actor, params }: AskedFor<typeof routes.revokeToken>) {
    const row = await this.db.apiToken.findFirst({
      where: { tokenId: params.tokenId, personId: actor.personId },
    });
    if (row === null) {
      throw new Problem('token-unknown', 'You have no such token. Read the list again.');
    }
    const revokedAt = row.revokedAt ?? new Date();
    return tokenView(
      await this.db.apiToken.update({ where: { tokenId: row.tokenId }, data: { revokedAt } }),
    );
  }
}

function tokenView(row: {
  tokenId: string;
  label: string;
  scope: string[];
  siteId: string | null;
  createdAt: Date;
  expiresAt: Date;
  revokedAt: Date | null;
}) {
  const { tokenId, label, scope, siteId } = row;
  return {
    tokenId,
    label,
    scope,
    siteId,
    createdAt: row.createdAt.toISOString(),
    expiresAt: row.expiresAt.toISOString(),
    revokedAt: row.revokedAt?.toISOString() ?? null,
  };
}
