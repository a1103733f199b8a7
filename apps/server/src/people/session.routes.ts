import { z } from 'zod';
import { firstKeeperBody, idSchema, loginSchema, roleSchema } from '#libs/archive';
import { route } from '../platform/route.js';

export const meAnswer = z.object({
  personId: idSchema,
  displayName: z.string(),
  login: z.string(),
  roles: z.array(z.object({ siteId: idSchema.nullable(), role: roleSchema })),
});

export const state = route({
  method: 'GET',
  path: '/v1/state',
  tag: 'state',
  summary: 'What the archive says of itself before anybody signs in',
  access: 'public',
  answer: z.object({
    mode: z.enum(['choose', 'ready']).describe('choose: nobody keeps this archive yet'),
    demo: z.boolean(),
    seeding: z.object({ ratio: z.number(), stage: z.string() }).nullable(),
    archive: z.object({
      id: z.string(),
      fingerprint: z.string(),
      fingerprintShort: z.string(),
      origin: z.string(),
      keyChange: z
        .string()
        .nullable()
        .describe('how the key was changed last, in a sentence; null while it is the first'),
    }),
    recoverySheetDue: z
      .boolean()
      .describe('keepers of the studio: the recovery sheet waits to be printed and put away'),
    me: meAnswer.nullable(),
    version: z.string(),
  }),
});

export const choose = route({
  method: 'POST',
  path: '/v1/choose',
  tag: 'state',
  summary: 'Look round the demo: the launcher starts again on the demo’s home',
  access: 'public',
  body: z.strictObject({
    home: z.enum(['demo', 'archive']),
    token: z.string().min(1).max(200).optional(),
  }),
  answer: z.object({ switching: z.boolean() }),
  status: 202,
  problems: ['link-spent', 'launcher-missing', 'archive-started'],
});

export const startArchiveRoute = route({
  method: 'POST',
  path: '/v1/first-keeper',
  tag: 'state',
  summary: 'Make the first person, keeper of everything, by the link that start printed',
  access: 'public',
  body: firstKeeperBody.extend({ token: z.string().min(1).max(200) }),
  answer: meAnswer,
  status: 201,
  problems: ['link-spent', 'archive-started'],
});

export const DEMO_ROLES = ['Surveyor', 'Glazier', 'Painter', 'Studio head'] as const;

export const signIn = route({
  method: 'POST',
  path: '/v1/session',
  tag: 'people',
  summary: 'Sign in; sets the cookie mullion_session',
  access: 'public',
  body: z.union([
    z.strictObject({ login: loginSchema, password: z.string().min(1).max(200) }),
    z.strictObject({
      token: z.string().min(1).max(200).describe('of the link that start printed'),
    }),
    z.strictObject({ demoRole: z.enum(DEMO_ROLES) }),
    z.strictObject({
      pairing: z.string().min(1).max(200).describe('of the code that a person showed a phone'),
    }),
  ]),
  answer: meAnswer,
  status: 201,
  problems: ['sign-in-refused', 'link-spent', 'demo-only', 'too-many-attempts'],
});

export const signOut = route({
  method: 'DELETE',
  path: '/v1/session',
  tag: 'people',
  summary: 'Sign out',
  access: 'public',
  status: 204,
});
