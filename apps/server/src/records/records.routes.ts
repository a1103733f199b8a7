import { z } from 'zod';
import { markText, RECORD_KINDS } from '#libs/archive';
import { route } from '../platform/route.js';

export const RECORD_TYPES = {
  html: 'text/html; charset=utf-8',
  pdf: 'application/pdf',
  json: 'application/json; charset=utf-8',
} as const;

export const record = route({
  method: 'GET',
  path: '/v1/records/{kind}',
  tag: 'records',
  summary: 'Condition or treatment record of a site, window, panel or piece',
  access: 'reader',
  params: z.object({ kind: z.enum(RECORD_KINDS) }),
  query: z.object({
    subject: markText,
    format: z.enum(Object.keys(RECORD_TYPES) as [keyof typeof RECORD_TYPES]).default('html'),
  }),
  answerTypes: Object.values(RECORD_TYPES).map((type) => type.split(';')[0]!),
  problems: ['mark-unknown'],
});
