import { z } from 'zod';
import { dateTime, deviceRoleSchema, idSchema, shortText, writtenShape } from '#libs/archive';
import { route } from '../platform/route.js';

const deviceAnswer = z.object({
  deviceId: idSchema,
  personId: idSchema,
  name: z.string(),
  siteId: idSchema.nullable(),
  role: deviceRoleSchema,
  pairedAt: dateTime,
  endedAt: dateTime.nullable(),
});

export const listDevices = route({
  method: 'GET',
  path: '/v1/devices',
  tag: 'people',
  summary: 'Phones that are paired: one’s own; for keepers of the studio everybody’s',
  access: 'signed-in',
  answer: z.object({ items: z.array(deviceAnswer), next: z.null() }),
});

export const addPairing = route({
  method: 'POST',
  path: '/v1/pairings',
  tag: 'people',
  summary: 'Make a code that signs one phone in, once, within minutes',
  access: 'signed-in',
  tellsSecret: true,
  body: z.strictObject({
    name: shortText.describe('of the phone, e.g. "studio phone 2"; no person’s name'),
    siteId: idSchema.nullable().default(null).describe('only this site; null: all that you may'),
    role: deviceRoleSchema.default('recorder').describe('the most that the phone may do'),
  }),
  answer: z.object({
    pairingId: idSchema,
    secret: z.string().describe('goes into the address that the phone opens, behind #pair='),
    expiresAt: dateTime,
    phones: z
      .object({
        origin: z.string().describe('address under which phones reach this archive securely'),
        trustPage: z
          .string()
          .nullable()
          .describe('plain page that hands out the studio’s certificate; null: none is needed'),
        authorityFingerprint: z.string().nullable(),
      })
      .nullable()
      .describe('null: this archive answers on its own machine only'),
  }),
  status: 201,
  problems: ['site-unknown', 'role-insufficient'],
});

export const readPairing = route({
  method: 'GET',
  path: '/v1/pairings/{pairingId}',
  tag: 'people',
  summary: 'Whether a phone has used the code',
  access: 'signed-in',
  params: z.object({ pairingId: idSchema }),
  answer: z.object({ pairingId: idSchema, deviceId: idSchema.nullable(), expiresAt: dateTime }),
  problems: ['device-unknown'],
});

export const endDeviceRoute = route({
  method: 'POST',
  path: '/v1/devices/{deviceId}/end',
  tag: 'people',
  summary: 'End what a paired phone may do; one’s own, or as keeper of the studio anybody’s',
  access: 'signed-in',
  params: z.object({ deviceId: idSchema }),
  answer: z.object({ deviceId: idSchema, ...writtenShape }),
  problems: ['device-unknown', 'idempotency-key-reused', 'role-insufficient'],
});
