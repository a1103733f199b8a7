import { hash } from '@node-rs/argon2';
import { z } from 'zod';
import { Problem } from '#libs/problem';
import { type CommandContext, defineCommand, type ProjectedEntry } from '../command.js';
import { erasedNames, type SealedName, sealWith, shownName } from '../names/sealed-name.js';
import { keyOf, makeKey } from '../names/subject-keys.js';
import { sitePlace } from '../place.js';
import { grantsOf, type Role, roleAmong } from '../role.js';
import { idSchema, roleSchema } from '../shapes.js';
import { changeRows, findRow, putRow } from '../tables.js';
import type { Tx } from '../tx.js';
import { anotherKeeper, presentPerson } from './person-rows.js';
import { lastEntryAbout } from './superseded.js';

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
  v: 2;
  personId: string;
  grants: GrantedRole[];
  /** null in entries from before names were sealed: see keeping.person_before */
  displayName: SealedName | null;
  login: SealedName | null;
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
  async decide(body, ctx) {
    if ((await ctx.tx.first('SELECT 1 FROM person LIMIT 1')) !== undefined) {
      throw new Problem(
        'archive-started',
        'Somebody keeps this archive already. Sign in, or ask the keeper to add you.',
      );
    }
    const grants = [{ grantId: ctx.newId(), siteId: null, role: 'keeper' as const }];
    return decidedPerson(ctx, ctx.actorId, body, grants);
  },
  project: projectPerson,
  beside: (_body, { payload }, tx, { passwordHash }) =>
    keepPassword(tx, payload.personId, passwordHash),
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
  async decide({ roles, ...names }, ctx) {
    const { login } = names;
    if ((await ctx.tx.first('SELECT 1 FROM person WHERE login = $1', [login])) !== undefined) {
      throw new Problem('login-taken', `Somebody signs in as ${login}. Choose another login.`, {
        field: 'login',
      });
    }
    for (const { siteId } of roles) if (siteId !== null) await sitePlace(ctx.tx, siteId);
    const grants = roles.map((granted) => ({ grantId: ctx.newId(), ...granted }));
    return decidedPerson(ctx, ctx.newId(), names, grants);
  },
  project: projectPerson,
  beside: (_body, { payload }, tx, { passwordHash }) =>
    keepPassword(tx, payload.personId, passwordHash),
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
    await presentPerson(ctx.tx, personId);
    if (siteId !== null) await sitePlace(ctx.tx, siteId);
    return {
      log: 'studio' as const,
      subject: null,
      happened: null,
      payload: { grantId: ctx.newId(), personId, siteId, role },
    };
  },
  async project({ payload, logId, index }, tx) {
    await putRow(tx, 'role_grant', { ...payload, logId, entrySeq: index });
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
      // a role given when the person was added stands in an entry that says more than it
      ...(await lastEntryAbout(ctx.tx, null, null, ['role.grant'], { grantId })),
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
    await presentPerson(ctx.tx, personId);
    return {
      log: 'studio' as const,
      subject: null,
      happened: null,
      payload: { personId },
      ...(await lastEntryAbout(ctx.tx, null, null, ['person.set-password'], { personId })),
    };
  },
  project: () => Promise.resolve(),
  async beside({ personId }, _entry, tx, { passwordHash }) {
    await keepPassword(tx, personId, passwordHash);
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
    await presentPerson(ctx.tx, personId);
    if (disabled) await anotherKeeper(ctx.tx, { withoutPersonId: personId });
    return {
      log: 'studio' as const,
      subject: null,
      happened: null,
      payload: { personId, disabled },
      ...(await lastEntryAbout(ctx.tx, null, null, ['person.disable'], { personId })),
    };
  },
  async project({ payload: { personId, disabled } }, tx) {
    await changeRows(tx, 'person', { personId }, { disabled });
  },
  async beside({ personId, disabled }, _entry, tx) {
    if (disabled) await tx.run('DELETE FROM session WHERE person_id = $1', [personId]);
  },
  answer: ({ payload }) => Promise.resolve(payload),
});

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

async function decidedPerson(
  { tx, now }: CommandContext,
  personId: string,
  { displayName, login }: { displayName: string; login: string },
  grants: GrantedRole[],
) {
  const key = await makeKey(tx, personId, displayName, now);
  const sealed = (name: string, field: string) =>
    sealWith(tx, key, personId, name, { siteId: null, field });
  const payload: PersonPayload = {
    v: 2,
    personId,
    grants,
    displayName: await sealed(displayName, 'displayName'),
    login: await sealed(login, 'login'),
  };
  return { log: 'studio' as const, subject: null, happened: null, payload };
}

async function projectPerson(entry: ProjectedEntry<PersonPayload>, tx: Tx): Promise<void> {
  const { payload, logId, index } = entry;
  const { personId, grants } = payload;
  await putRow(tx, 'person', {
    personId,
    ...(await namesOf(entry, tx)),
    disabled: false,
    createdAt: entry.recordedAt,
    erasedAt: null,
  });
  for (const grant of grants) {
    await putRow(tx, 'role_grant', { ...grant, personId, logId, entrySeq: index });
  }
}

async function namesOf({ payload, origin: log }: ProjectedEntry<PersonPayload>, tx: Tx) {
  const { personId, displayName, login } = payload;
  if (displayName === null || login === null) return namesBefore(tx, personId);
  const key = await keyOf(tx, personId);
  if (key === undefined) return erasedNames(personId);
  return {
    displayName: await shownName(tx, displayName, { log, field: 'displayName' }),
    login: await shownName(tx, login, { log, field: 'login' }),
  };
}

async function namesBefore(tx: Tx, personId: string) {
  const names = await tx.first<{ displayName: string; login: string }>(
    'SELECT display_name, login FROM keeping.person_before WHERE person_id = $1',
    [personId],
  );
  return names ?? erasedNames(personId);
}

async function keepPassword(tx: Tx, personId: string, passwordHash: string | null): Promise<void> {
  if (passwordHash === null) return;
  await tx.run(
    `INSERT INTO keeping.credential (person_id, password_hash) VALUES ($1, $2)
     ON CONFLICT (person_id) DO UPDATE SET password_hash = EXCLUDED.password_hash`,
    [personId, passwordHash],
  );
}

async function answerPerson({ payload }: ProjectedEntry<PersonPayload>, tx: Tx) {
  const person = (await findRow(tx, 'person', { personId: payload.personId }))!;
  const { personId, displayName, login, disabled } = person;
  return { personId, displayName, login, disabled, roles: payload.grants };
}
