import { z } from 'zod';
import {
  addPersonBody,
  dateTime,
  disablePersonBody,
  grantRoleBody,
  idSchema,
  roleSchema,
  setPasswordBody,
  shortText,
  writtenShape,
} from '#libs/archive';
import { pageOf, pageQuery } from '../platform/paging.js';
import { route } from '../platform/route.js';

const grantAnswer = z.object({
  grantId: idSchema,
  siteId: idSchema.nullable(),
  role: roleSchema,
});

export const personAnswer = z.object({
  personId: idSchema,
  displayName: z.string(),
  login: z.string(),
  disabled: z.boolean(),
  roles: z.array(grantAnswer),
});

export const listPeople = route({
  method: 'GET',
  path: '/v1/people',
  tag: 'people',
  summary: 'Everybody who may sign in',
  access: 'keeper',
  query: pageQuery,
  answer: pageOf(personAnswer),
});

export const addPerson = route({
  method: 'POST',
  path: '/v1/people',
  tag: 'people',
  summary: 'Add a person',
  access: 'keeper',
  body: addPersonBody,
  answer: personAnswer.extend(writtenShape),
  status: 201,
  problems: ['login-taken', 'site-unknown', 'idempotency-key-reused'],
});

export const grantRole = route({
  method: 'POST',
  path: '/v1/people/{personId}/roles',
  tag: 'people',
  summary: 'Give a person a role at one site, or everywhere',
  access: 'keeper',
  body: grantRoleBody,
  answer: grantAnswer.extend({ personId: idSchema, ...writtenShape }),
  status: 201,
  problems: ['person-unknown', 'site-unknown', 'idempotency-key-reused'],
});

export const withdrawRole = route({
  method: 'DELETE',
  path: '/v1/people/{personId}/roles/{grantId}',
  tag: 'people',
  summary: 'Take a role away',
  access: 'keeper',
  answer: z.object({ personId: idSchema, grantId: idSchema, ...writtenShape }),
  problems: ['grant-unknown', 'last-keeper'],
});

export const setPassword = route({
  method: 'POST',
  path: '/v1/people/{personId}/password',
  tag: 'people',
  summary: 'Set a new password: one’s own, or as keeper of the studio; ends the person’s sessions',
  access: 'signed-in',
  body: setPasswordBody,
  answer: z.object({ personId: idSchema, ...writtenShape }),
  problems: ['person-unknown', 'role-insufficient', 'idempotency-key-reused'],
});

export const disablePerson = route({
  method: 'POST',
  path: '/v1/people/{personId}/disabled',
  tag: 'people',
  summary: 'Shut a person out, or let them in again',
  access: 'keeper',
  body: disablePersonBody,
  answer: z.object({ personId: idSchema, disabled: z.boolean(), ...writtenShape }),
  problems: ['person-unknown', 'last-keeper', 'idempotency-key-reused'],
});

export const tokenAnswer = z.object({
  tokenId: idSchema,
  label: z.string(),
  scope: z.array(z.enum(['read', 'write'])),
  siteId: idSchema.nullable(),
  createdAt: dateTime,
  expiresAt: dateTime,
  revokedAt: dateTime.nullable(),
});

export const listTokens = route({
  method: 'GET',
  path: '/v1/tokens',
  tag: 'people',
  summary: 'API tokens of the person who asks',
  access: 'signed-in',
  answer: z.object({ items: z.array(tokenAnswer), next: z.null() }),
});

export const addToken = route({
  method: 'POST',
  path: '/v1/tokens',
  tag: 'people',
  summary: 'Make an API token; it is told once',
  access: 'signed-in',
  tellsSecret: true,
  body: z.strictObject({
    label: shortText,
    scope: z
      .array(z.enum(['read', 'write']))
      .min(1)
      .max(2),
    siteId: idSchema.nullable().default(null).describe('only this site; null: all that you may'),
    expiresAt: dateTime.describe('at most 400 days from now'),
  }),
  answer: tokenAnswer.extend({ token: z.string().describe('send as Authorization: Bearer') }),
  status: 201,
  problems: ['site-unknown'],
});

export const revokeToken = route({
  method: 'DELETE',
  path: '/v1/tokens/{tokenId}',
  tag: 'people',
  summary: 'Revoke an API token',
  access: 'signed-in',
  answer: tokenAnswer,
  problems: ['token-unknown'],
});
