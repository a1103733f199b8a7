import { z } from 'zod';
import {
  dateTime,
  originSchema,
  registerWitnessedBody,
  releaseWitnessedBody,
  writtenShape,
} from '#libs/archive';
import { route } from '../platform/route.js';

export const addCheckpoint = route({
  method: 'POST',
  path: '/witness/add-checkpoint',
  tag: 'witness',
  summary: 'Ask this archive, as a witness, to cosign a checkpoint (C2SP tlog-witness)',
  access: 'public',
  bodyTypes: ['text/plain'],
  answerTypes: ['text/plain', 'text/x.tlog.size'],
  problems: [
    'cosign-request-invalid',
    'checkpoint-key-untrusted',
    'witness-off',
    'witnessed-log-unknown',
    'body-too-large',
    'checkpoint-inconsistent',
  ],
});

export const witnessedCheckpoint = route({
  method: 'GET',
  path: '/witness/checkpoint',
  tag: 'witness',
  summary: 'The last checkpoint of a log that this archive cosigned, with the cosignature',
  access: 'public',
  query: z.object({ origin: originSchema }),
  answerTypes: ['text/plain'],
  problems: ['witness-off', 'witnessed-log-unknown'],
});

export const witnessState = route({
  method: 'GET',
  path: '/v1/witness',
  tag: 'witness',
  summary: 'What this archive witnesses for others, and with which key',
  access: 'keeper',
  answer: z.object({
    verifierKey: z.string().nullable().describe('null: this archive is no witness'),
    items: z.array(
      z.object({
        origin: z.string(),
        verifierKeys: z.array(z.string()),
        released: z.boolean(),
        registeredAt: dateTime,
        newest: z.object({ size: z.int(), cosignedAt: dateTime }).nullable(),
      }),
    ),
    next: z.null(),
  }),
});

export const registerWitnessed = route({
  method: 'POST',
  path: '/v1/witness/logs',
  tag: 'witness',
  summary: 'Witness a log from now on, or trust other keys for it',
  access: 'keeper',
  body: registerWitnessedBody,
  answer: registerWitnessedBody.extend(writtenShape),
  status: 201,
  problems: ['verifier-key-invalid'],
});

export const releaseWitnessed = route({
  method: 'POST',
  path: '/v1/witness/logs/release',
  tag: 'witness',
  summary: 'Witness a log no more; what was cosigned stays remembered',
  access: 'keeper',
  body: releaseWitnessedBody,
  answer: releaseWitnessedBody.extend(writtenShape),
  problems: ['witnessed-log-unknown'],
});
