import { z } from 'zod';
import { type EstimateTerms, estimated } from '#libs/estimate';
import type { EstimateRow } from '../rows.js';
import { dateTime, idSchema, shortText, versionSchema } from '../shapes.js';

const figure = z.number().min(0).max(1e9);
export const rangeSchema = z.strictObject({ low: figure, likely: figure, high: figure });
const decimal = z.string().regex(/^\d{1,9}(\.\d{1,6})?$/, 'a decimal number such as 12 or 0.25');

export const estimateTermsSchema = z.strictObject({
  currency: z
    .string()
    .regex(/^[A-Z]{3}$/, 'a code such as EUR')
    .describe('ISO 4217'),
  perHour: decimal.describe('an hour of work, decimal text'),
  contingencyRatio: decimal.describe('0.1 adds a tenth'),
});

export const alternativeSchema = z.strictObject({
  name: shortText,
  lines: z
    .array(
      z.strictObject({
        what: shortText,
        unit: z.string().trim().min(1).max(20),
        quantity: rangeSchema,
        minutesPerUnit: rangeSchema,
        pricePerUnit: decimal.default('0').describe('material for one unit, decimal text'),
      }),
    )
    .min(1)
    .max(100),
});

const money = z.object({ low: z.string(), likely: z.string(), high: z.string() });
const minutes = z.object({ low: z.number(), likely: z.number(), high: z.number() });

export const estimateAnswer = z.object({
  siteId: idSchema,
  estimateId: idSchema,
  campaignId: idSchema,
  title: z.string(),
  stage: z.enum(['first', 'second']),
  terms: estimateTermsSchema,
  alternatives: z.array(
    alternativeSchema.extend({
      lineCosts: z.array(z.object({ what: z.string(), minutes, cost: money })),
      minutes,
      net: money,
      contingency: money,
      total: money,
    }),
  ),
  chosen: z.int(),
  writtenBy: idSchema,
  entrySeq: z.int(),
  recordedAt: dateTime,
  version: versionSchema,
});

/** What was said, with what comes out of it. */
export function estimateView(row: EstimateRow): z.infer<typeof estimateAnswer> {
  const terms = row.terms as EstimateTerms;
  return {
    ...row,
    terms,
    alternatives: (row.alternatives as z.infer<typeof alternativeSchema>[]).map((alternative) => {
      const {
        lines: lineCosts,
        minutes: took,
        net,
        contingency,
        total,
      } = estimated(alternative, terms);
      return { ...alternative, lineCosts: [...lineCosts], minutes: took, net, contingency, total };
    }),
    entrySeq: Number(row.entrySeq),
    recordedAt: row.recordedAt.toISOString(),
    version: Number(row.version),
  };
}
