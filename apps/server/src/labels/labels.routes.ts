import { z } from 'zod';
import { LABEL_MM, ROLL_WIDTH_MM } from '#libs/print';
import { route } from '../platform/route.js';

/** More than a window has panels or a panel has pieces. */
export const LABELS_MAX = 2000;

export const labelsQuery = z.object({
  of: z.enum(['panels', 'pieces', 'crate']).default('panels'),
  panels: z
    .string()
    .max(4000)
    .optional()
    .describe('marks in the window, 2a,2b; left out: all of them'),
  crate: z
    .string()
    .trim()
    .min(1)
    .max(24)
    .optional()
    .describe('what is written on the crate that the panels lie in: 3, or north 2'),
  stock: z
    .enum(['sheet', 'roll'])
    .default('sheet')
    .describe(`A4, as many as fit; or a roll of ${ROLL_WIDTH_MM} mm, one a page`),
  widthMm: z.coerce
    .number()
    .min(LABEL_MM.leastWidth)
    .max(LABEL_MM.mostWidth)
    .default(105)
    .describe('of a label on a sheet'),
  heightMm: z.coerce.number().min(LABEL_MM.leastHeight).max(LABEL_MM.mostHeight).default(57),
  skipped: z.coerce
    .number()
    .int()
    .min(0)
    .max(100)
    .default(0)
    .describe('places of the first sheet that were used before'),
  cutLines: z.enum(['true', 'false']).default('true'),
  face: z
    .enum(['inside', 'outside'])
    .default('inside')
    .describe('face of the panel that the label lies on'),
  address: z
    .url({ protocol: /^https?$/ })
    .max(200)
    .optional()
    .describe('the code opens the mark at this address; left out: the code is the mark itself'),
});

export type LabelsQuery = z.output<typeof labelsQuery>;

export const windowLabels = route({
  method: 'GET',
  path: '/v1/windows/{windowId}/labels.pdf',
  tag: 'windows',
  summary: 'Labels with a code for panels, pieces or a crate, true to scale',
  access: 'reader',
  query: labelsQuery,
  answerTypes: ['application/pdf'],
  problems: ['window-unknown', 'panel-unknown', 'request-invalid'],
});
