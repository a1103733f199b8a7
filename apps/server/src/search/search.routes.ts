import { z } from 'zod';
import { idSchema, STAGES } from '#libs/archive';
import { route } from '../platform/route.js';

export const SEARCH_KINDS = [
  'finding',
  'intervention',
  'media',
  'panel',
  'window',
  'piece',
  'alias',
] as const;

const day = z.iso.date().describe('YYYY-MM-DD');

export const search = route({
  method: 'GET',
  path: '/v1/search',
  tag: 'search',
  summary: 'One box: a mark jumps, words find what was written, newest first',
  access: 'signed-in',
  query: z.object({
    q: z.string().max(200).default(''),
    site: z.string().max(64).optional().describe('siteId or mark of the site'),
    window: z.string().max(64).optional().describe('mark of the window, e.g. wI or SLM.wI'),
    kind: z.enum(SEARCH_KINDS).optional(),
    stage: z.enum(STAGES).optional(),
    from: day.optional().describe('happened on or after'),
    to: day.optional().describe('happened on or before'),
    after: z.string().max(500).optional(),
    limit: z.coerce.number().int().min(1).max(100).default(30),
  }),
  answer: z.object({
    jump: z
      .object({
        kind: z.string(),
        fullMark: z.string(),
        siteId: idSchema,
        windowId: idSchema.nullable(),
        panelId: idSchema.nullable(),
        pieceId: idSchema.nullable(),
        alias: z.string().nullable(),
      })
      .nullable()
      .describe('the place whose mark or earlier number was typed'),
    items: z.array(
      z.object({
        kind: z.enum(SEARCH_KINDS),
        siteId: idSchema,
        rowId: z.string(),
        subject: z.string(),
        title: z.string(),
        snippet: z.string().nullable().describe('plain text; found words between « and »'),
        stage: z.string().nullable(),
        happened: z.string().nullable(),
      }),
    ),
    next: z.string().nullable(),
  }),
});
