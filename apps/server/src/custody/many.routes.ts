import { z } from 'zod';
import {
  happenedSchema,
  recordRefixBody,
  recordRemovalBody,
  workStepAnswer,
  writtenShape,
} from '#libs/archive';
import { route } from '../platform/route.js';

/** The largest window that is worked on in one go. */
const MOST_PANELS = 1000;

const panels = z
  .array(z.string().min(1).max(12))
  .min(1)
  .max(MOST_PANELS)
  .describe('marks in the window: 28a, A1');

const answer = z.object({
  items: z
    .array(workStepAnswer.omit({ entrySeq: true }).extend(writtenShape))
    .describe('one step for each panel, in the order in which they were written'),
});

const common = [
  'window-unknown',
  'subject-unknown',
  'date-invalid',
  'idempotency-key-reused',
] as const;

export const removeMany = route({
  method: 'POST',
  path: '/v1/windows/{windowId}/removals',
  tag: 'custody',
  summary:
    'Several panels were taken out in one go, in the order from the top down; each gets its own step. Sent again with the same idempotency key it goes on where it stopped',
  access: 'recorder',
  body: recordRemovalBody
    .omit({ faceUpPhoto: true, seen: true, boreOn: true })
    .extend({ panels })
    .describe('what held for all of them; the photograph and what broke are said panel by panel'),
  answer,
  status: 201,
  problems: common,
});

export const cementMany = route({
  method: 'POST',
  path: '/v1/windows/{windowId}/cementings',
  tag: 'custody',
  summary:
    'Several rebuilt panels were cemented on one day: said in the list of each, which else stays as it was. Sent again with the same idempotency key it goes on where it stopped',
  access: 'recorder',
  body: z.strictObject({
    panels,
    on: happenedSchema.describe('day of cementing, EDTF'),
    with: z.string().trim().min(1).max(200).optional().describe('the cement, and its batch'),
    cureUntil: happenedSchema.describe('not moved before, EDTF'),
  }),
  answer,
  status: 201,
  problems: [...common, 'net-unknown', 'rebuild-closed'],
});

export const refixMany = route({
  method: 'POST',
  path: '/v1/windows/{windowId}/refixes',
  tag: 'custody',
  summary:
    'Several panels went back in one go, in the order from the bottom up; each gets its own step. Sent again with the same idempotency key it goes on where it stopped',
  access: 'recorder',
  body: recordRefixBody
    .omit({ images: true, bars: true })
    .extend({ panels })
    .describe('what held for all of them; bars and pictures are said panel by panel'),
  answer,
  status: 201,
  problems: common,
});
