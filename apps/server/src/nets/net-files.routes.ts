import { z } from 'zod';
import { route } from '../platform/route.js';
import { revisionParams } from './nets.routes.js';

export const NET_FILES = {
  'net.svg': 'image/svg+xml',
  'net.dxf': 'image/vnd.dxf',
  'net.pdf': 'application/pdf',
  'pattern.pdf': 'application/pdf',
  'pattern.svg': 'image/svg+xml',
  'pattern.dxf': 'image/vnd.dxf',
  'net.json': 'application/json',
  'net.geojson': 'application/geo+json',
  'schedule.csv': 'text/csv; charset=utf-8',
  'schedule.json': 'application/json',
  'rectified.jpg': 'image/jpeg',
} as const;

export type NetFileName = keyof typeof NET_FILES;

const yes = z.enum(['true', 'false']).default('false');

/** What a file can be asked to be; each file takes what means something to it. */
export const netFileQuery = z.object({
  paper: z.enum(['A4', 'A3', 'Letter']).default('A4').describe('net.pdf, pattern.pdf'),
  mirrored: yes.describe('drawings and patterns: as seen from outside; numbers stay readable'),
  bothSides: yes.describe('net.pdf: as seen from inside and mirrored, in one file'),
  numbers: z
    .enum(['true', 'false'])
    .default('true')
    .describe('net.pdf: false leaves the numbers of the pieces out'),
  inPlace: yes.describe('pattern: every piece where it stands; else packed on sheets'),
  overlapMm: z.coerce
    .number()
    .min(0)
    .max(50)
    .optional()
    .describe('net.pdf, pattern.pdf in place: what two neighbouring sheets show of each other'),
  stickMm: z.coerce
    .number()
    .min(100)
    .max(10_000)
    .optional()
    .describe('schedule: length that came is sold in'),
  wasteRatio: z.coerce.number().min(0).max(1).optional().describe('schedule: added for offcuts'),
  thicknessMm: z.coerce
    .number()
    .min(0.5)
    .max(30)
    .optional()
    .describe('schedule: of the glass, for its weight'),
});

export type NetFileQuery = z.output<typeof netFileQuery>;

export const netFile = route({
  method: 'GET',
  path: '/v1/panels/{panelId}/nets/{revision}/{file}',
  tag: 'nets',
  summary: 'The lead drawing as a file: 1:1 drawing, patterns, came list, flattened picture',
  access: 'reader',
  params: revisionParams.extend({
    file: z.enum(Object.keys(NET_FILES) as [NetFileName]),
  }),
  query: netFileQuery,
  answerTypes: [...new Set(Object.values(NET_FILES).map((type) => type.split(';')[0]!))],
  problems: ['panel-unknown', 'net-unknown'],
});

const stageAnswer = z.object({
  key: z.string(),
  title: z.string(),
  caption: z.string().describe('what this step did and what to look for'),
  widthPx: z.int(),
  heightPx: z.int(),
  imageFromPanel: z.array(z.number()).nullable().describe('panel mm → its px, 3 × 3 row by row'),
});

export const netStages = route({
  method: 'GET',
  path: '/v1/panels/{panelId}/nets/{revision}/stages',
  tag: 'nets',
  summary: 'How a drawing was read from its sheet, step by step; none for what a hand drew',
  access: 'reader',
  params: revisionParams,
  answer: z.object({ items: z.array(stageAnswer), next: z.null() }),
  problems: ['panel-unknown', 'net-unknown'],
});

export const netStage = route({
  method: 'GET',
  path: '/v1/panels/{panelId}/nets/{revision}/stages/{key}.jpg',
  tag: 'nets',
  summary: 'The picture of one step of the reading',
  access: 'reader',
  params: revisionParams.extend({ key: z.string().regex(/^[a-z][a-z-]{0,30}$/) }),
  answerTypes: ['image/jpeg'],
  problems: ['panel-unknown', 'net-unknown'],
});
