import { z } from 'zod';
import {
  cartoonBody,
  importNetBody,
  netRevisionAnswer,
  writtenShape,
  xyMmSchema,
} from '#libs/archive';
import { netSchema } from '#libs/net';
import { route } from '../platform/route.js';

export const checkCartoon = route({
  method: 'POST',
  path: '/v1/panels/{panelId}/nets/import-check',
  tag: 'nets',
  summary: 'Read a cartoon (SVG, DXF, GeoJSON) and say what had to be put right; nothing is stored',
  access: 'recorder',
  body: cartoonBody,
  answer: z.object({
    format: z.enum(['svg', 'dxf', 'geojson']),
    unitMm: z.number().describe('millimetres in one unit of the file'),
    unitFrom: z.string(),
    widthMm: z.number(),
    heightMm: z.number(),
    layers: z.array(z.object({ name: z.string(), lines: z.int(), isUsed: z.boolean() })),
    repairs: z.array(
      z.object({
        kind: z.string().describe('gap-closed, crossing-split, duplicate-dropped, dangling-end, …'),
        sentence: z.string(),
        xyMm: xyMmSchema.nullable(),
      }),
    ),
    net: netSchema,
  }),
  problems: ['panel-unknown', 'cartoon-unusable'],
});

export const importNet = route({
  method: 'POST',
  path: '/v1/panels/{panelId}/nets/import',
  tag: 'nets',
  summary: 'Take a cartoon as the next revision; If-Match is the last revision, 0 for the first',
  access: 'recorder',
  revises: 'required',
  body: importNetBody,
  answer: netRevisionAnswer.extend(writtenShape),
  status: 201,
  problems: ['panel-unknown', 'cartoon-unusable', 'idempotency-key-reused'],
});
