import { hash } from '@node-rs/argon2';
import { z } from 'zod';
import { Problem } from '#libs/problem';
import { defineCommand, type ProjectedEntry } from '../command.js';
import { sitePlace } from '../place.js';
import { grantsOf, type Role, roleAmong } from '../role.js';
import { idSchema, roleSchema } from '../shapes.js';
import { findRow, putRow } from '../tables.js';
import type { Tx } from '../tx.js';

export const loginSchema = z
  .string()
  .trim()
  .toLowerCase()
  .regex(
    /^[a-z0-9][a-z0-9._@-]{1,63}$/,
    '2 to 64 of a-z, 0-9, . _ @ -, starting with a letter or digit',
  );
export const passwordSchema = z.string().min(10, 'at least 10 characters').max(200);
export const displayNameSchema = z.string().trim().min(1).max(120);

const personFields = { displayName: displayNameSchema, login: loginSchema };

interface GrantedRole {
  grantId: string;
  siteId: string | null;
  role: Role;
}

interface PersonPayload {
  personId: string;
  grants: GrantedRole[];
}

export const firstKeeperBody = z.strictObject({ ...personFields, password: passwordSchema });

/** The first person of an archive: keeper everywhere. The actor's id becomes the person's. */
export const startArchive = defineCommand({
  type: 'person.start',
  body: firstKeeperBody,
  role: 'anyone',
  status: 201,
  secrets: ['password'],
  siteOf: () => Promise.resolve(null),
  prepare: async ({ password }) => ({ passwordHash: await hash(password) }),
  async decide(_body, ctx) {
    if ((await ctx.tx.first('SELECT 1 FROM person LIMIT 1')) !== undefined) {
      throw new Problem(
        'archive-started',
        'Somebody keeps this archive already. Sign in, or ask the keeper to add you.',
      );
    }
    return {
      log: 'studio' as const,
      subject: null,
      happened: null,
      payload: {
        personId: ctx.actorId,
        grants: [{ grantId: ctx.newId(), siteId: null, role: 'keeper' as const }],
      },
    };
  },
  project: projectPerson,
  beside: ({ displayName, login }, entry, tx, { passwordHash }) =>
    addPersonRow(tx, entry, { displayName, login, passwordHash }),
  answer: answerPerson,
});

export const addPersonBody = z.strictObject({
  ...personFields,
  password: passwordSchema.optional().describe('left out: the person cannot sign in yet'),
  roles: z
    .array(z.strictObject({ siteId: idSchema.nullable(), role: roleSchema }))
    .max(50)
    .default([]),
});

export const addPerson = defineCommand({
  type: 'person.add',
  body: addPersonBody,
  role: 'keeper',
  status: 201,
  secrets: ['password'],
  siteOf: () => Promise.resolve(null),
  prepare: async ({ password }) => ({
    passwordHash: password === undefined ? null : await hash(password),
  }),
  async decide({ login, roles }, ctx) {
    if ((await ctx.tx.first('SELECT 1 FROM person WHERE login = $1', [login])) !== undefined) {
      throw new Problem('login-taken', `Somebody signs in as ${login}. Choose another login.`, {
        field: 'login',
      });
    }
    for (const { siteId } of roles) if (siteId !== null) await sitePlace(ctx.tx, siteId);
    return {
      log: 'studio' as const,
      subject: null,
      happened: null,
      payload: {
        personId: ctx.newId(),
        grants: roles.map((granted) => ({ grantId: ctx.newId(), ...granted })),
      },
    };
  },
  project: projectPerson,
  beside: ({ displayName, login }, entry, tx, { passwordHash }) =>
    addPersonRow(tx, entry, { displayName, login, passwordHash }),
  answer: answerPerson,
});

export const grantRoleBody = z.strictObject({ siteId: idSchema.nullable(), role: roleSchema });

export const grantRole = defineCommand({
  type: 'role.grant',
  body: grantRoleBody.extend({ personId: idSchema }),
  role: 'keeper',
  status: 201,
  siteOf: ({ siteId }) => Promise.resolve(siteId),
  async decide({ personId, siteId, role }, ctx) {
    await knownPerson(ctx.tx, personId);
    if (siteId !== null) await sitePlace(ctx.tx, siteId);
    return {
      log: 'studio' as const,
      subject: null,
      happened: null,
      payload: { grantId: ctx.newId(), personId, siteId, role },
    };
  },
  async project({ payload, logId, seq }, tx) {
    await putRow(tx, 'role_grant', { ...payload, logId, entrySeq: seq });
  },
  answer: ({ payload }) => Promise.resolve(payload),
});

export const withdrawRole = defineCommand({
  type: 'role.withdraw',
  body: z.strictObject({ personId: idSchema, grantId: idSchema }),
  role: 'keeper',
  siteOf: async ({ personId, grantId }, tx) => (await knownGrant(tx, personId, grantId)).siteId,
  async decide({ personId, grantId }, ctx) {
    const grant = await knownGrant(ctx.tx, personId, grantId);
    if (grant.role === 'keeper' && grant.siteId === null)
      await anotherKeeper(ctx.tx, { withoutGrantId: grantId });
    return {
      log: 'studio' as const,
      subject: null,
      happened: null,
      payload: { grantId, personId },
    };
  },
  async project({ payload }, tx) {
    await tx.run('DELETE FROM role_grant WHERE grant_id = $1', [payload.grantId]);
  },
  answer: ({ payload }) => Promise.resolve(payload),
});

export const setPasswordBody = z.strictObject({ password: passwordSchema });

/** A person's own new password, or one that a keeper of the studio gives. Ends the person's sessions. */
export const setPassword = defineCommand({
  type: 'person.set-password',
  body: setPasswordBody.extend({ personId: idSchema }),
  role: 'anyone',
  secrets: ['password'],
  siteOf: () => Promise.resolve(null),
  prepare: async ({ password }) => ({ passwordHash: await hash(password) }),
  async decide({ personId }, ctx) {
    if (personId !== ctx.actorId) await needStudioKeeper(ctx.tx, ctx.actorId);
    await knownPerson(ctx.tx, personId);
    return { log: 'studio' as const, subject: null, happened: null, payload: { personId } };
  },
  project: () => Promise.resolve(),
  async beside({ personId }, _entry, tx, { passwordHash }) {
    await tx.run('UPDATE person SET password_hash = $2 WHERE person_id = $1', [
      personId,
      passwordHash,
    ]);
    await tx.run('DELETE FROM session WHERE person_id = $1', [personId]);
  },
  answer: ({ payload }) => Promise.resolve(payload),
});

export const disablePersonBody = z.strictObject({ disabled: z.boolean() });

/** Shuts a person out, or lets them in again; what they recorded stays theirs. */
export const disablePerson = defineCommand({
  type: 'person.disable',
  body: disablePersonBody.extend({ personId: idSchema }),
  role: 'keeper',
  siteOf: () => Promise.resolve(null),
  async decide({ personId, disabled }, ctx) {
    await knownPerson(ctx.tx, personId);
    if (disabled) await anotherKeeper(ctx.tx, { withoutPersonId: personId });
    return {
      log: 'studio' as const,
      subject: null,
      happened: null,
      payload: { personId, disabled },
    };
  },
  project: () => Promise.resolve(),
  async beside({ personId, disabled }, _entry, tx) {
    await tx.run('UPDATE person SET disabled = $2 WHERE person_id = $1', [personId, disabled]);
    if (disabled) await tx.run('DELETE FROM session WHERE person_id = $1', [personId]);
  },
  answer: ({ payload }) => Promise.resolve(payload),
});

async function knownPerson(tx: Tx, personId: string): Promise<void> {
  const row = await tx.first('SELECT 1 FROM person WHERE person_id = $1', [personId]);
  if (row !== undefined) return;
  throw new Problem('person-unknown', 'No person has this id. Read the list of people again.');
}

async function needStudioKeeper(tx: Tx, actorId: string): Promise<void> {
  if (roleAmong(await grantsOf(tx, actorId), null) === 'keeper') return;
  throw new Problem(
    'role-insufficient',
    'Only a keeper of the whole studio gives others a new password. Ask the keeper.',
    { neededRole: 'keeper' },
  );
}

async function knownGrant(tx: Tx, personId: string, grantId: string) {
  const grant = await findRow(tx, 'role_grant', { grantId, personId });
  if (grant === undefined) {
    throw new Problem(
      'grant-unknown',
      'This person has no such role. Read the list of people again.',
    );
  }
  return grant;
}

// An archive without a keeper could never get one again.
async function anotherKeeper(
  tx: Tx,
  without: { withoutGrantId: string } | { withoutPersonId: string },
): Promise<void> {
  const [column, id] =
    'withoutGrantId' in without
      ? ['g.grant_id', without.withoutGrantId]
      : ['g.person_id', without.withoutPersonId];
  const other = await tx.first(
    `SELECT 1 FROM role_grant g JOIN person p USING (person_id)
     WHERE g.role = 'keeper' AND g.site_id IS NULL AND ${column} <> $1
       AND NOT p.disabled AND p.password_hash IS NOT NULL`,
    [id],
  );
  if (other !== undefined) return;
  throw new Problem(
    'last-keeper',
    'Make another person who can sign in keeper of the whole studio first.',
  );
}

async function projectPerson(
  { payload, logId, seq }: ProjectedEntry<PersonPayload>,
  tx: Tx,
): Promise<void> {
  for (const grant of payload.grants) {
    await putRow(tx, 'role_grant', {
      ...grant,
      personId: payload.personId,
      logId,
      entrySeq: seq,
    });
  }
}

async function addPersonRow(
  tx: Tx,
  entry: ProjectedEntry<PersonPayload>,
  person: { displayName: string; login: string; passwordHash: string | null },
): Promise<void> {
  await tx.run(
    `INSERT INTO person (person_id, login, display_name, password_hash, created_at)
     VALUES ($1, $2, $3, $4, $5)`,
    [
      entry.payload.personId,
      person.login,
      person.displayName,
      person.passwordHash,
      entry.recordedAt,
    ],
  );
}

async function answerPerson({ payload }: ProjectedEntry<PersonPayload>, tx: Tx) {
  const person = await tx.first<{ displayName: string; login: string; disabled: boolean }>(
    'SELECT display_name, login, disabled FROM person WHERE person_id = $1',
    [payload.personId],
  );
  return { personId: payload.personId, ...person!, roles: payload.grants };
}
