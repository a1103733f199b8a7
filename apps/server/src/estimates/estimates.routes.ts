import { z } from 'zod';
import { estimateAnswer, writeEstimateBody, writtenShape } from '#libs/archive';
import { route } from '../platform/route.js';

const range = z.object({ low: z.number(), likely: z.number(), high: z.number() });

export const listEstimates = route({
  method: 'GET',
  path: '/v1/campaigns/{campaignId}/estimates',
  tag: 'estimates',
  summary: 'Estimates of a campaign, newest first; the variation from the first to the second',
  access: 'recorder',
  answer: z.object({
    items: z.array(estimateAnswer),
    variation: z
      .object({
        lines: z.array(z.object({ what: z.string(), minutes: z.number(), cost: z.string() })),
        minutes: z.number(),
        total: z.string(),
      })
      .nullable()
      .describe('newest second less newest first, where both are in one currency'),
    next: z.null(),
  }),
  problems: ['campaign-unknown', 'role-insufficient'],
});

export const writeEstimate = route({
  method: 'POST',
  path: '/v1/campaigns/{campaignId}/estimates',
  tag: 'estimates',
  summary:
    'Keep an estimate: alternatives side by side, with their ranges and a stated contingency',
  access: 'conservator',
  body: writeEstimateBody,
  answer: estimateAnswer.extend(writtenShape),
  status: 201,
  problems: ['campaign-unknown', 'campaign-closed', 'estimate-invalid', 'idempotency-key-reused'],
});

export const estimatePdf = route({
  method: 'GET',
  path: '/v1/estimates/{estimateId}/pdf',
  tag: 'estimates',
  summary: 'An estimate on paper',
  access: 'recorder',
  answerTypes: ['application/pdf'],
  problems: ['estimate-unknown', 'role-insufficient'],
});

export const campaignQuantities = route({
  method: 'GET',
  path: '/v1/campaigns/{campaignId}/quantities',
  tag: 'estimates',
  summary:
    'Quantities of a campaign, drawn and expected, and minutes learned from closed campaigns',
  access: 'recorder',
  answer: z.object({
    drawn: z.object({
      panels: z.int(),
      areaM2: z.number(),
      pieces: z.number(),
      joints: z.number(),
      leadMetres: z.number(),
      leadByWidth: z
        .array(z.object({ widthMm: z.number(), metres: z.number() }))
        .describe('by face width to half a millimetre, the widest first'),
      glassM2: z.number().describe('as cut'),
      leadKg: z.number(),
      glassKg: z.number().describe('one layer of 3 mm: common practice, no source'),
    }),
    undrawn: z.object({
      panels: z.int(),
      areaM2: z.number(),
      expected: z.record(z.string(), range).nullable(),
    }),
    densities: z
      .object({ pieces: range, joints: range, leadMetres: range })
      .nullable()
      .describe('on a square metre of the drawn panels of the site'),
    densitiesFrom: z.int().describe('drawn panels that the densities come from'),
    minutes: z.array(
      z.object({
        operation: z.string(),
        minutesPerMark: range,
        from: z.int().describe('pieces of work'),
        campaigns: z.int().describe('closed campaigns'),
      }),
    ),
  }),
  problems: ['campaign-unknown', 'role-insufficient'],
});
