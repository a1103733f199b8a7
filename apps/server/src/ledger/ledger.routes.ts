import { z } from 'zod';
import { dateTime, idSchema } from '#libs/archive';
import { route } from '../platform/route.js';

/** Which log: its id names the epoch. */
export const logParams = z.object({
  logId: z
    .string()
    .min(1)
    .max(64)
    .describe('studio, or a siteId; of a later epoch with .2, .3, … behind it'),
});
/** Which entry of it. */
export const entryNumber = z.coerce
  .number()
  .int()
  .min(0)
  .describe('number in that log; or the place in the whole history, which names the epoch itself');
const base64 = z.string().describe('base64');

const ofLog = {
  logId: z.string(),
  origin: z.string(),
  epoch: z.int().describe('from 1'),
};

const entryAnswer = z.object({
  ...ofLog,
  seq: z.int(),
  place: z
    .int()
    .describe(
      'in the history over all epochs: (epoch − 1) · 2^40 + seq; versions of records are such',
    ),
  type: z.string(),
  subject: z.string().nullable(),
  actorId: idSchema,
  happened: z.string().nullable(),
  recordedAt: dateTime,
  leafHash: z.string().describe('SHA-256 of 0x00 and the bytes, hex (RFC 6962)'),
  bytes: base64.describe('the entry as it is hashed: RFC 8785 JSON, base64'),
});

export const listLogs = route({
  method: 'GET',
  path: '/v1/logs',
  tag: 'ledger',
  summary: 'Logs that the person may read, with their heads and the archive’s key',
  access: 'signed-in',
  answer: z.object({
    verifierKey: z.object({ publicKey: base64, fingerprint: z.string() }),
    items: z.array(
      z.object({
        logId: z.string(),
        origin: z.string(),
        siteId: idSchema.nullable(),
        epoch: z.int().describe('from 1; a restore older than a known checkpoint opens the next'),
        closed: z.boolean().describe('a later epoch goes on; this one stays as it is'),
        size: z.int(),
        rootHash: base64,
        lastAt: dateTime,
      }),
    ),
    next: z.null(),
  }),
});

export const checkpoint = route({
  method: 'GET',
  path: '/v1/logs/{logId}/checkpoint',
  tag: 'ledger',
  summary: 'Newest signed head of a log (C2SP tlog-checkpoint)',
  access: 'signed-in',
  params: logParams,
  query: z.object({
    size: z.coerce.number().int().min(1).optional().describe('that one, if one was signed then'),
    seen: z
      .enum(['true', 'false'])
      .optional()
      .describe('true: the newest that a witness cosigned, not the newest of all'),
  }),
  answerTypes: ['text/plain'],
  problems: ['log-unknown', 'checkpoint-unknown'],
});

export const listEntries = route({
  method: 'GET',
  path: '/v1/logs/{logId}/entries',
  tag: 'ledger',
  summary: 'Entries of a log in their order',
  access: 'signed-in',
  params: logParams,
  query: z.object({
    from: entryNumber.default(0),
    limit: z.coerce.number().int().min(1).max(500).default(100),
    typeStart: z.string().max(64).default('').describe('only entries whose type begins so'),
  }),
  answer: z.object({
    items: z.array(entryAnswer),
    next: z.string().nullable().describe('`from` of what follows, as a place'),
  }),
  problems: ['log-unknown', 'entry-unknown'],
});

export const entry = route({
  method: 'GET',
  path: '/v1/logs/{logId}/entries/{seq}',
  tag: 'ledger',
  summary: 'One entry',
  access: 'signed-in',
  params: logParams.extend({ seq: entryNumber }),
  answer: entryAnswer,
  problems: ['log-unknown', 'entry-unknown'],
});

export const logKeys = route({
  method: 'GET',
  path: '/v1/logs/{logId}/keys',
  tag: 'ledger',
  summary:
    'What a log tells of its keys (key.announce, key.change), each entry proven in the tree of a size',
  access: 'signed-in',
  params: logParams,
  query: z.object({
    size: z.coerce.number().int().min(1).optional().describe('left out: the newest'),
  }),
  answer: z.object({
    size: z.int(),
    items: z.array(entryAnswer.extend({ hashes: z.array(base64).describe('inclusion proof') })),
  }),
  problems: ['log-unknown', 'proof-unavailable'],
});

export const inclusion = route({
  method: 'GET',
  path: '/v1/logs/{logId}/proof',
  tag: 'ledger',
  summary: 'Proof that an entry stands in the tree of a size (RFC 6962 section 2.1.1)',
  access: 'signed-in',
  params: logParams,
  query: z.object({
    seq: entryNumber,
    size: z.coerce.number().int().min(1).optional().describe('left out: the newest'),
  }),
  answer: z.object({
    ...ofLog,
    seq: z.int(),
    size: z.int(),
    leafHash: base64,
    rootHash: base64,
    hashes: z.array(base64),
  }),
  problems: ['log-unknown', 'entry-unknown', 'proof-unavailable'],
});

export const consistency = route({
  method: 'GET',
  path: '/v1/logs/{logId}/consistency',
  tag: 'ledger',
  summary: 'Proof that a log only grew from one size to another (RFC 6962 section 2.1.2)',
  access: 'signed-in',
  params: logParams,
  query: z.object({
    from: z.coerce.number().int().min(1),
    to: z.coerce.number().int().min(1).optional().describe('left out: the newest'),
  }),
  answer: z.object({
    ...ofLog,
    from: z.int(),
    to: z.int(),
    fromRootHash: base64,
    rootHash: base64,
    hashes: z.array(base64),
  }),
  problems: ['log-unknown', 'proof-unavailable'],
});

export const known = route({
  method: 'POST',
  path: '/v1/logs/{logId}/known',
  tag: 'ledger',
  summary: 'A checkpoint that somebody kept: one beyond the log is told in it, by a new epoch',
  access: 'signed-in',
  params: logParams,
  body: z.strictObject({
    checkpoint: z.string().min(1).max(20_000).describe('the signed note as it was given out'),
  }),
  answer: z.object({
    state: z
      .enum(['contained', 'epoch'])
      .describe('contained: the log holds what the checkpoint commits to'),
    logId: z.string().describe('the log that goes on'),
    seq: z.int().nullable().describe('its entry that tells of the loss'),
    isNew: z.boolean(),
    says: z.string(),
  }),
  problems: ['log-unknown', 'checkpoint-unreadable', 'checkpoint-foreign'],
});

export const logTile = route({
  method: 'GET',
  path: '/v1/logs/{logId}/tile/{files}',
  tag: 'ledger',
  summary: 'Hashes of the tree and entries as files, for tools that read logs (C2SP tlog-tiles)',
  access: 'signed-in',
  params: logParams.extend({
    files: z
      .string()
      .max(64)
      .describe(
        '0/x001/067, 1/000.p/12, or entries/067: level or entries, number, width if partial',
      ),
  }),
  answerTypes: ['application/octet-stream'],
  problems: ['log-unknown', 'tile-unknown'],
});
