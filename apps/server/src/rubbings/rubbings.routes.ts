import { z } from 'zod';
import {
  askExtractionBody,
  idSchema,
  recordRubbingBody,
  rubbingAnswer,
  writtenShape,
} from '#libs/archive';
import { route } from '../platform/route.js';

export const listRubbings = route({
  method: 'GET',
  path: '/v1/panels/{panelId}/rubbings',
  tag: 'rubbings',
  summary: 'Rubbings of a panel, newest first',
  access: 'reader',
  answer: z.object({ items: z.array(rubbingAnswer), next: z.null() }),
  problems: ['panel-unknown'],
});

export const recordRubbing = route({
  method: 'POST',
  path: '/v1/panels/{panelId}/rubbings',
  tag: 'rubbings',
  summary: 'Record a rubbing and its sheet, or why the panel was not rubbed',
  access: 'recorder',
  body: recordRubbingBody,
  answer: rubbingAnswer.extend(writtenShape),
  status: 201,
  problems: ['panel-unknown', 'date-invalid', 'idempotency-key-reused'],
});

export const askExtraction = route({
  method: 'POST',
  path: '/v1/rubbings/{rubbingId}/extractions',
  tag: 'rubbings',
  summary: 'Read the lead drawing from the pictures of a rubbing; follow the job',
  access: 'recorder',
  body: askExtractionBody,
  answer: z.object({ jobId: idSchema, ...writtenShape }),
  status: 202,
  problems: [
    'rubbing-unknown',
    'rubbing-not-taken',
    'control-unusable',
    'evidence-unknown',
    'idempotency-key-reused',
  ],
});
