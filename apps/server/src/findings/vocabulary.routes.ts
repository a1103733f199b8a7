import { z } from 'zod';
import { GEOMETRY_KINDS } from '#libs/archive';
import { route } from '../platform/route.js';

export const listTerms = route({
  method: 'GET',
  path: '/v1/terms',
  tag: 'vocabulary',
  summary: 'What can be found: terms with definition, geometry, measure and sign',
  access: 'signed-in',
  answer: z.object({
    items: z.array(
      z.object({
        term: z.string(),
        label: z.string(),
        group: z.string(),
        groupLabel: z.string(),
        definition: z.string(),
        geometry: z.array(z.enum(GEOMETRY_KINDS)),
        measure: z
          .array(z.string())
          .describe('quantities; count, length, area and share are computed'),
        source: z.string(),
        isNeutral: z.boolean().describe('an earlier repair is no damage until somebody judges it'),
        shortcut: z.string(),
        aatId: z.string().nullable().describe('Getty Art & Architecture Thesaurus'),
        hatch: z.object({ pattern: z.string(), colour: z.string().describe('#rrggbb') }),
        sign: z.object({
          colour: z.string(),
          area: z.string().optional(),
          line: z.string().optional(),
          point: z.string().optional(),
        }),
      }),
    ),
    next: z.null(),
  }),
});

export const listOperations = route({
  method: 'GET',
  path: '/v1/operations',
  tag: 'vocabulary',
  summary: 'What can be done: operations, how far each can be undone, and cautions',
  access: 'signed-in',
  answer: z.object({
    items: z.array(
      z.object({
        operation: z.string(),
        label: z.string(),
        group: z.string(),
        groupLabel: z.string(),
        definition: z.string(),
        reversibility: z.string(),
        reversibilityHint: z.string(),
        needsStatedReason: z.boolean(),
        cautions: z.array(z.object({ key: z.string(), protects: z.string(), text: z.string() })),
      }),
    ),
    deferral: z.string().describe('ends every caution'),
    next: z.null(),
  }),
});

export const legend = route({
  method: 'GET',
  path: '/v1/legend.svg',
  tag: 'vocabulary',
  summary: 'The legend as a drawing; terms: only these, separated by commas',
  access: 'signed-in',
  query: z.object({ terms: z.string().max(4000).optional() }),
  answerTypes: ['image/svg+xml'],
  problems: ['term-unknown'],
});
