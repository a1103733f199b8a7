import { z } from 'zod';
import { idSchema } from '#libs/archive';
import { route } from '../platform/route.js';
import { FACETS, SEARCH_KINDS, searchFilters } from './search.query.js';

const facetAnswer = z.array(
  z.object({ value: z.string(), label: z.string(), count: z.number().int() }),
);

export const search = route({
  method: 'GET',
  path: '/v1/search',
  tag: 'search',
  summary:
    'One box: a mark jumps, words and filters find what was written, newest first, with counts',
  access: 'signed-in',
  query: searchFilters.extend({
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
    total: z
      .number()
      .int()
      .nullable()
      .describe('exact up to 10 000; 10 001 says: more than that. On the first page only'),
    facets: z
      .object(
        Object.fromEntries(FACETS.map((name) => [name, facetAnswer])) as Record<
          (typeof FACETS)[number],
          typeof facetAnswer
        >,
      )
      .nullable()
      .describe(
        'how many hits bear each value; of more than 10 000 hits counted on 10 000 of them, so each count says: at least. On the first page only',
      ),
    next: z.string().nullable(),
  }),
  problems: ['mark-unknown', 'date-invalid', 'geometry-invalid'],
});

export const searchCsv = route({
  method: 'GET',
  path: '/v1/search.csv',
  tag: 'search',
  summary: 'All hits as a table (RFC 4180)',
  access: 'signed-in',
  query: searchFilters,
  answerTypes: ['text/csv'],
  problems: ['mark-unknown', 'date-invalid', 'geometry-invalid'],
});

export const searchPlaces = route({
  method: 'GET',
  path: '/v1/windows/{windowId}/search',
  tag: 'search',
  summary: 'How many hits each panel and piece of a window bears',
  access: 'reader',
  query: searchFilters,
  answer: z.object({
    panels: z.array(z.object({ mark: z.string(), count: z.number().int() })),
    pieces: z.array(z.object({ mark: z.string(), count: z.number().int() })),
    isPart: z.boolean().describe('there are more than 10 000 hits: each count says at least'),
  }),
  problems: ['window-unknown', 'mark-unknown', 'date-invalid', 'geometry-invalid'],
});
