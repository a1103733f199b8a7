import { z } from 'zod';
import { dateTime, idSchema } from '#libs/archive';
import { entryNumber, logParams } from '../ledger/ledger.routes.js';
import { route } from '../platform/route.js';

const asked = { askedAt: dateTime.nullable(), trouble: z.string().nullable() };

const alarm = z.object({
  logId: z.string(),
  origin: z.string(),
  witness: z.string(),
  kind: z.enum(['longer', 'other']),
  theirSize: z.int(),
  ourSize: z.int(),
  says: z.string(),
  noticedAt: dateTime,
});

export const outside = route({
  method: 'GET',
  path: '/v1/outside',
  tag: 'ledger',
  summary: 'Who else remembers the logs that the person may read, and alarms that stand',
  access: 'signed-in',
  answer: z.object({
    witnesses: z.array(z.object({ name: z.string(), verifierKey: z.string(), url: z.string() })),
    timeAuthority: z.string().nullable(),
    alarms: z.array(alarm),
    items: z.array(
      z.object({
        logId: z.string(),
        origin: z.string(),
        siteId: idSchema.nullable(),
        size: z.int(),
        witnesses: z.array(
          z.object({
            name: z.string(),
            cosignedSize: z.int().nullable(),
            cosignedAt: dateTime.nullable(),
            ...asked,
          }),
        ),
        time: z
          .object({
            size: z.int().nullable(),
            statedAt: dateTime.nullable(),
            authority: z.string().nullable(),
            ...asked,
          })
          .nullable()
          .describe('null: no time authority is configured and no token is kept'),
      }),
    ),
    next: z.null(),
  }),
});

export const askOutside = route({
  method: 'POST',
  path: '/v1/logs/{logId}/ask-outside',
  tag: 'ledger',
  summary: 'Ask witnesses and the time authority now',
  access: 'keeper',
  params: logParams,
  answer: z.object({ jobIds: z.array(idSchema) }),
  status: 202,
  problems: ['log-unknown', 'witnesses-unset'],
});

export const evidence = route({
  method: 'GET',
  path: '/v1/logs/{logId}/evidence',
  tag: 'ledger',
  summary: 'What others say of the history that holds an entry: cosigned checkpoint and time token',
  access: 'signed-in',
  params: logParams,
  query: z.object({ seq: entryNumber }),
  answer: z.object({
    seen: z
      .object({ size: z.int(), note: z.string().describe('the checkpoint with its cosignatures') })
      .nullable(),
    time: z
      .object({
        size: z.int(),
        note: z.string().describe('the checkpoint as it was stamped'),
        authority: z.string(),
        statedAt: dateTime,
        token: z.string().describe('RFC 3161 TimeStampToken, DER in base64'),
      })
      .nullable(),
  }),
  problems: ['log-unknown', 'entry-unknown'],
});
