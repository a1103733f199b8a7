import { z } from 'zod';
import {
  answerFlagBody,
  flagAnswer,
  flagKindSchema,
  idSchema,
  markText,
  writtenShape,
} from '#libs/archive';
import { pageOf, pageQuery } from '../platform/paging.js';
import { route } from '../platform/route.js';

export const listFlags = route({
  method: 'GET',
  path: '/v1/sites/{siteId}/flags',
  tag: 'flags',
  summary: 'What was done out of order or not as agreed, newest first',
  access: 'reader',
  query: pageQuery.extend({
    state: z.enum(['open', 'answered', 'all']).default('open'),
    kind: flagKindSchema.optional(),
    campaignId: idSchema.optional(),
    subject: markText.optional().describe('mark: of it, and of what lies in it'),
  }),
  answer: pageOf(flagAnswer),
  problems: ['site-unknown'],
});

export const answerFlag = route({
  method: 'POST',
  path: '/v1/flags/{flagId}/answer',
  tag: 'flags',
  summary: 'Answer a flag with a reason; an answer is corrected by naming its version',
  access: 'conservator',
  revises: 'optional',
  body: answerFlagBody,
  answer: flagAnswer.extend(writtenShape),
  problems: ['flag-unknown', 'flag-answered', 'idempotency-key-reused'],
});
