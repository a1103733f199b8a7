import { z } from 'zod';
import {
  addCrateBody,
  atAnswer,
  crateAnswer,
  handOverBody,
  idSchema,
  movementAnswer,
  receiveBody,
  recordMovementBody,
  withdrawMovementBody,
  writtenShape,
} from '#libs/archive';
import { CUSTODY_CONDITIONS } from '#libs/custody';
import { pageOf, pageQuery } from '../platform/paging.js';
import { route } from '../platform/route.js';
import { asOfAnswer, momentQuery } from '../windows/then/moment.js';
import { whereAnswer } from './where-answer.js';

const massKg = z.number().describe('kg');

const packedCrate = crateAnswer.extend({
  at: atAnswer.nullable().describe('where the crate is; null: nothing was said'),
  holds: z.array(
    z.object({
      key: z.string(),
      slot: z.string().nullable(),
      massKg: massKg.nullable(),
      massSource: z
        .enum(['weighed', 'net', 'area'])
        .nullable()
        .describe(
          'weighed: on a scale; net: from the lead drawing; area: the most that a panel of its size may weigh, by the drawn ones of its window, else 16 kg/m² (common practice, no source)',
        ),
    }),
  ),
  load: z.object({
    totalKg: massKg.describe('with the empty crate where that is known, kg'),
    unknown: z.array(z.string()).describe('things whose mass nobody knows'),
    isOver: z.boolean().describe('heavier than the studio allows it to be'),
  }),
  caution: z.string(),
});

export const listCrates = route({
  method: 'GET',
  path: '/v1/sites/{siteId}/crates',
  tag: 'custody',
  summary: 'Crates of a site with what lies in them, where, and what they weigh',
  access: 'reader',
  answer: z.object({ items: z.array(packedCrate), next: z.null() }),
  problems: ['site-unknown'],
});

export const addCrate = route({
  method: 'POST',
  path: '/v1/sites/{siteId}/crates',
  tag: 'custody',
  summary: 'Add a crate, known by what is written on it',
  access: 'recorder',
  body: addCrateBody,
  answer: crateAnswer.extend(writtenShape),
  status: 201,
  problems: ['site-unknown', 'crate-exists', 'idempotency-key-reused'],
});

export const listMovements = route({
  method: 'GET',
  path: '/v1/sites/{siteId}/movements',
  tag: 'custody',
  summary: 'Movements of a site, the newest recorded first',
  access: 'reader',
  query: pageQuery.extend({
    open: z
      .enum(['true', 'false'])
      .default('false')
      .describe('true: only those whose change of hands is not signed by the receiver'),
  }),
  answer: pageOf(movementAnswer),
  problems: ['site-unknown'],
});

const movementWritten = movementAnswer.omit({ entrySeq: true }).extend(writtenShape);

export const recordMovement = route({
  method: 'POST',
  path: '/v1/sites/{siteId}/movements',
  tag: 'custody',
  summary:
    'Things, or crates with all in them, go to another place, into other hands or into a crate',
  access: 'recorder',
  body: recordMovementBody,
  answer: movementWritten,
  status: 201,
  problems: [
    'site-unknown',
    'crate-unknown',
    'mark-invalid',
    'subject-unknown',
    'in-another-crate',
    'slot-taken',
    'date-invalid',
    'idempotency-key-reused',
  ],
});

export const movement = route({
  method: 'GET',
  path: '/v1/movements/{movementId}',
  tag: 'custody',
  summary: 'A movement, all that travels with it, and how each thing left and came',
  access: 'reader',
  answer: movementAnswer.extend({
    carries: z.array(
      z.object({
        key: z.string(),
        crate: z
          .object({ crateId: idSchema, mark: z.string(), slot: z.string().nullable() })
          .nullable(),
        departed: z.enum(CUSTODY_CONDITIONS).nullable().describe('null: the sender did not say'),
        arrived: z.enum(CUSTODY_CONDITIONS).nullable().describe('null: nobody looked on arrival'),
        note: z.string().nullable(),
        isWorse: z.boolean(),
      }),
    ),
  }),
  problems: ['movement-unknown'],
});

const signing = [
  'movement-unknown',
  'movement-withdrawn',
  'handover-signed',
  'mark-invalid',
  'subject-unknown',
  'evidence-unknown',
  'date-invalid',
  'idempotency-key-reused',
] as const;

export const handOver = route({
  method: 'POST',
  path: '/v1/movements/{movementId}/hand-over',
  tag: 'custody',
  summary: 'The sender signs: what was given away, and how it was',
  access: 'recorder',
  body: handOverBody,
  answer: movementWritten,
  status: 201,
  problems: signing,
});

export const receive = route({
  method: 'POST',
  path: '/v1/movements/{movementId}/receive',
  tag: 'custody',
  summary: 'The receiver signs: what came, and how; what became worse on the way is flagged',
  access: 'recorder',
  body: receiveBody,
  answer: movementWritten,
  status: 201,
  problems: signing,
});

export const withdrawMovement = route({
  method: 'POST',
  path: '/v1/movements/{movementId}/withdraw',
  tag: 'custody',
  summary: 'Take back a movement that was recorded in error; it stays in the ledger',
  access: 'recorder',
  revises: 'optional',
  body: withdrawMovementBody,
  answer: movementWritten,
  problems: ['movement-unknown', 'movement-withdrawn', 'idempotency-key-reused'],
});

export const windowWhereabouts = route({
  method: 'GET',
  path: '/v1/windows/{windowId}/whereabouts',
  tag: 'custody',
  summary:
    'Where each panel of a window is, and what of it lies elsewhere, by a day as known at a moment',
  access: 'reader',
  query: momentQuery,
  answer: z.object({
    panels: z.array(z.object({ panelId: idSchema, mark: z.string(), where: whereAnswer })),
    away: z.array(whereAnswer).describe('pieces and samples that went by themselves'),
    asOf: asOfAnswer,
  }),
  problems: ['window-unknown', 'date-invalid'],
});

export const markWhereabouts = route({
  method: 'GET',
  path: '/v1/marks/{mark}/whereabouts',
  tag: 'custody',
  summary: 'Where a panel, a piece or a sample is, and in whose hands it was before',
  access: 'signed-in',
  query: z.object({
    sample: z.string().min(1).max(24).optional().describe('name of a sample taken there: C1'),
  }),
  answer: z.object({
    key: z.string(),
    siteId: idSchema,
    now: whereAnswer,
    chain: z.array(whereAnswer).describe('every change, oldest first'),
  }),
  problems: ['mark-unknown', 'mark-invalid'],
});
