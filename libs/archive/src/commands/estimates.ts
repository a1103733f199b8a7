import { z } from 'zod';
import { EstimateError, estimated } from '#libs/estimate';
import { Problem } from '#libs/problem';
import { defineCommand } from '../command.js';
import { siteOf } from '../place.js';
import { idSchema, shortText } from '../shapes.js';
import { getJson, inlineOrObject } from '../stored-json.js';
import { findRow, putRow } from '../tables.js';
import { alternativeSchema, estimateTermsSchema, estimateView } from '../views/estimate-view.js';
import { openCampaign } from './campaigns.js';

export const writeEstimateBody = z.strictObject({
  title: shortText,
  stage: z.enum(['first', 'second']).describe('first: from areas; second: from the drawings'),
  terms: estimateTermsSchema,
  alternatives: z.array(alternativeSchema).min(1).max(6).describe('side by side'),
  chosen: z.int().min(0).default(0).describe('the alternative that is reckoned with, from 0'),
});
type Alternatives = z.infer<typeof alternativeSchema>[];

/**
 * An estimate as it was made that day; another one is another entry. It speaks of no mark, so that a
 * dossier that is handed out gives its leaf hash only.
 */
export const writeEstimate = defineCommand({
  type: 'estimate.write',
  body: writeEstimateBody.extend({ campaignId: idSchema }),
  role: 'conservator',
  target: 'campaign',
  status: 201,
  siteOf: ({ campaignId }, tx) => siteOf(tx, 'campaign', campaignId),
  async decide({ campaignId, title, stage, terms, alternatives, chosen }, ctx) {
    const { siteId } = await openCampaign(ctx.tx, campaignId);
    if (chosen >= alternatives.length) {
      throw new Problem('request-invalid', `chosen: there is no alternative ${chosen}.`, {
        field: 'chosen',
      });
    }
    for (const alternative of alternatives) reckoned(() => estimated(alternative, terms));
    const kept = await inlineOrObject(ctx.objects, alternatives, 'estimate');
    return {
      log: { siteId },
      subject: null,
      happened: null,
      payload: {
        estimateId: ctx.newId(),
        campaignId,
        title,
        stage,
        terms,
        chosen,
        alternatives: kept.inline as Alternatives | null,
        alternativesDigest: kept.object?.digest ?? null,
      },
      ...(kept.object === null ? {} : { objects: [kept.object] }),
    };
  },
  async project(entry, tx, { objects }) {
    const { alternatives, alternativesDigest, ...said } = entry.payload;
    await putRow(tx, 'estimate', {
      siteId: entry.siteId!,
      ...said,
      alternatives: alternatives ?? (await getJson(objects, alternativesDigest!)),
      writtenBy: entry.actorId,
      entrySeq: entry.seq,
      recordedAt: entry.recordedAt,
      version: entry.seq,
    });
  },
  answer: async ({ payload: { estimateId } }, tx) =>
    estimateView((await findRow(tx, 'estimate', { estimateId }))!),
});

function reckoned(reckon: () => unknown): void {
  try {
    reckon();
  } catch (cause) {
    if (!(cause instanceof EstimateError)) throw cause;
    throw new Problem('estimate-invalid', `${cause.message}.`, { fault: cause.fault }, { cause });
  }
}
