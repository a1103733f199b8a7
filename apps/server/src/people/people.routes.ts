import { z } from 'zod';
import {
  addPersonBody,
  dateTime,
  disablePersonBody,
  eraseNameBody,
  erasePersonBody,
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

const listedPerson = personAnswer.extend({
  erasedAt: dateTime.nullable().describe('then displayName is a pseudonym'),
});

export const listPeople = route({
  method: 'GET',
  path: '/v1/people',
  tag: 'people',
  summary: 'Everybody who may sign in',
  access: 'keeper',
  query: pageQuery,
  answer: pageOf(listedPerson),
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
  problems: ['person-unknown', 'person-erased', 'role-insufficient', 'idempotency-key-reused'],
});

export const disablePerson = route({
  method: 'POST',
  path: '/v1/people/{personId}/disabled',
  tag: 'people',
  summary: 'Shut a person out, or let them in again',
  access: 'keeper',
  body: disablePersonBody,
  answer: z.object({ personId: idSchema, disabled: z.boolean(), ...writtenShape }),
  problems: ['person-unknown', 'person-erased', 'last-keeper', 'idempotency-key-reused'],
});

const tracesAnswer = z.object({
  fields: z
    .array(
      z.object({
        siteId: idSchema,
        kind: z.string().describe('media, rubbing, intervention, withdrawal'),
        field: z.string(),
        rowId: idSchema,
        subject: z.string().nullable(),
      }),
    )
    .describe('fields that hold the name sealed: erasing reaches them'),
  texts: z
    .array(z.object({ siteId: idSchema, kind: z.string(), rowId: z.string(), subject: z.string() }))
    .describe('free text that holds the name: it stays in the ledger'),
  dossiers: z.int().describe('written of sites where the name stands; copies may be elsewhere'),
});

export const readPersonTraces = route({
  method: 'GET',
  path: '/v1/people/{personId}/traces',
  tag: 'people',
  summary: 'Where a person is named, and what erasing does not reach',
  access: 'keeper',
  answer: tracesAnswer,
  problems: ['person-unknown', 'role-insufficient'],
});

export const findNameTraces = route({
  method: 'POST',
  path: '/v1/names/traces',
  tag: 'people',
  summary:
    'The same for somebody without an account; the name is sent in the body, not the address',
  access: 'keeper',
  body: z.strictObject({ name: eraseNameBody.shape.name }),
  answer: tracesAnswer,
  problems: ['role-insufficient'],
});

const erasedAnswer = z.object({
  personId: idSchema.nullable(),
  places: z.int().describe('fields that show a pseudonym from here on'),
  ...writtenShape,
});

export const erasePerson = route({
  method: 'POST',
  path: '/v1/people/{personId}/erase',
  tag: 'people',
  summary: 'Destroy what opens a person’s names; entries stay, records show a pseudonym',
  access: 'keeper',
  body: erasePersonBody,
  answer: erasedAnswer,
  problems: [
    'person-unknown',
    'person-erased',
    'last-keeper',
    'request-invalid',
    'idempotency-key-reused',
  ],
});

export const eraseName = route({
  method: 'POST',
  path: '/v1/names/erase',
  tag: 'people',
  summary: 'The same for somebody without an account who is named on pictures, rubbings or work',
  access: 'keeper',
  body: eraseNameBody,
  answer: erasedAnswer,
  problems: ['name-unknown', 'name-has-account', 'request-invalid', 'idempotency-key-reused'],
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
