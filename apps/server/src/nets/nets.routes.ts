import { z } from 'zod';
import {
  askExtractionBody,
  idSchema,
  layPictureBody,
  netRevisionAnswer,
  placementAnswer,
  recordRubbingBody,
  reviseNetBody,
  rubbingAnswer,
  writtenShape,
} from '#libs/archive';
import { netSchema } from '#libs/net';
import { route } from '../platform/route.js';

const revisionParams = z.object({
  panelId: idSchema,
  revision: z.coerce.number().int().min(1),
});

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
  summary: 'Read the lead drawing from the picture of a rubbing; follow the job',
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

export const listNets = route({
  method: 'GET',
  path: '/v1/panels/{panelId}/nets',
  tag: 'nets',
  summary: 'Revisions of the lead drawing, newest first',
  access: 'reader',
  answer: z.object({ items: z.array(netRevisionAnswer), next: z.null() }),
  problems: ['panel-unknown'],
});

export const net = route({
  method: 'GET',
  path: '/v1/panels/{panelId}/nets/{revision}',
  tag: 'nets',
  summary: 'One revision of the lead drawing, in millimetres',
  access: 'reader',
  params: revisionParams,
  answer: netSchema,
  problems: ['panel-unknown', 'net-unknown'],
});

export const NET_FILES = {
  'net.svg': 'image/svg+xml',
  'net.dxf': 'image/vnd.dxf',
  'net.pdf': 'application/pdf',
  'schedule.csv': 'text/csv; charset=utf-8',
  'rectified.jpg': 'image/jpeg',
} as const;

export const netFile = route({
  method: 'GET',
  path: '/v1/panels/{panelId}/nets/{revision}/{file}',
  tag: 'nets',
  summary: 'The lead drawing as a file: 1:1 drawing, came list, flattened picture of the rubbing',
  access: 'reader',
  params: revisionParams.extend({
    file: z.enum(Object.keys(NET_FILES) as [keyof typeof NET_FILES]),
  }),
  answerTypes: Object.values(NET_FILES).map((type) => type.split(';')[0]!),
  problems: ['panel-unknown', 'net-unknown'],
});

export const reviseNet = route({
  method: 'POST',
  path: '/v1/panels/{panelId}/nets',
  tag: 'nets',
  summary:
    'A person’s revision of the lead drawing; If-Match is the last revision, 0 for the first',
  access: 'recorder',
  revises: 'required',
  body: reviseNetBody,
  answer: netRevisionAnswer.extend(writtenShape),
  status: 201,
  problems: ['panel-unknown', 'sketch-invalid', 'idempotency-key-reused'],
});

export const signNet = route({
  method: 'POST',
  path: '/v1/panels/{panelId}/nets/{revision}/sign',
  tag: 'nets',
  summary: 'Sign a lead drawing: its pieces get their numbers for ever',
  access: 'conservator',
  params: revisionParams,
  answer: netRevisionAnswer.extend(writtenShape),
  problems: ['panel-unknown', 'net-unknown', 'net-signed', 'idempotency-key-reused'],
});

export const layPicture = route({
  method: 'PUT',
  path: '/v1/panels/{panelId}/placements/{mediaId}',
  tag: 'placements',
  summary: 'Lay a picture under the panel by four or more matching points',
  access: 'recorder',
  revises: 'optional',
  body: layPictureBody,
  answer: placementAnswer.extend(writtenShape),
  problems: ['panel-unknown', 'evidence-unknown', 'points-unusable', 'idempotency-key-reused'],
});
