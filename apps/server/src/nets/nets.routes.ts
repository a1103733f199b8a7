import { z } from 'zod';
import {
  idSchema,
  layPictureBody,
  netRevisionAnswer,
  placementAnswer,
  reviseNetBody,
  writtenShape,
  xyMmSchema,
} from '#libs/archive';
import { netSchema } from '#libs/net';
import { route } from '../platform/route.js';

export const revisionParams = z.object({
  panelId: idSchema,
  revision: z.coerce.number().int().min(1),
});

export const listNets = route({
  method: 'GET',
  path: '/v1/panels/{panelId}/nets',
  tag: 'nets',
  summary: 'Revisions of the lead drawing, newest first',
  access: 'reader',
  answer: z.object({
    items: z.array(
      netRevisionAnswer.extend({
        recordedByName: z.string().nullable().describe('a pseudonym once the name is erased'),
        signedByName: z.string().nullable(),
      }),
    ),
    next: z.null(),
  }),
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

const leadShape = netSchema.shape.leads.element.shape;
const lead = z.object({
  leadId: z.string(),
  kind: leadShape.kind,
  lengthMm: z.number(),
  atMm: xyMmSchema,
  pieceIds: z.array(z.string()).describe('of the earlier drawing, that it lies in or lay between'),
});
/** What each of a list was and is. */
const fromTo = <T extends z.ZodType>(value: T) =>
  z.array(z.object({ leadId: z.string(), before: value, after: value }));

export const netChanges = route({
  method: 'GET',
  path: '/v1/panels/{panelId}/nets/{revision}/changes',
  tag: 'nets',
  summary: 'What differs between two revisions of one layer, in a sentence and lead by lead',
  access: 'reader',
  params: revisionParams,
  query: z.object({
    since: z.coerce
      .number()
      .int()
      .min(1)
      .optional()
      .describe('the earlier revision; left out: the one before of the same layer'),
  }),
  answer: z.object({
    since: z.int().nullable().describe('null when there is none before: then nothing differs'),
    revision: z.int(),
    sentence: z.string().nullable(),
    moved: z.array(
      z.object({
        beforeLeadId: z.string(),
        afterLeadId: z.string(),
        maxMm: z.number(),
        atMm: xyMmSchema.describe('where it moved most, on the later drawing'),
      }),
    ),
    added: z.array(lead).describe('leads of the later drawing only'),
    erased: z.array(lead).describe('leads of the earlier drawing only'),
    widths: z.array(z.object({ leadId: z.string(), beforeMm: z.number(), afterMm: z.number() })),
    kinds: fromTo(leadShape.kind),
    profiles: fromTo(leadShape.profile),
    renumbered: z.array(z.object({ before: z.string(), after: z.string() })),
    lettered: z.array(z.object({ before: z.string(), after: z.array(z.string()) })),
    doubtsAnswered: z.int(),
  }),
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
  summary:
    'Sign a lead drawing: its pieces get their numbers for ever; how many doubts stood open is kept',
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
