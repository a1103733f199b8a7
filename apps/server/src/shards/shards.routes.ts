import { z } from 'zod';
import {
  askAssemblyBody,
  askedSchema,
  dateTime,
  idSchema,
  joiningAnswer,
  keepJoiningBody,
  proposalSchema,
  withdrawJoiningBody,
  writtenShape,
} from '#libs/archive';
import { route } from '../platform/route.js';

const TAG = 'shards';
const atPiece = z.object({
  panelId: idSchema,
  piece: z.string().min(1).max(12).describe('number of the broken piece: 17'),
});

export const trayOfShards = route({
  method: 'GET',
  path: '/v1/panels/{panelId}/shards/{piece}',
  tag: TAG,
  summary: 'The tray of a broken piece: pictures of its shards, what was proposed, what is kept',
  access: 'reader',
  params: atPiece,
  answer: z.object({
    panelId: idSchema,
    piece: z.string(),
    netRevision: z.int().nullable(),
    outlineMm: z.array(z.tuple([z.number(), z.number()])).describe('of the glass as cut'),
    pictures: z.array(
      z.object({
        shard: z.string().describe('17s3'),
        mediaId: idSchema,
        fileName: z.string(),
        widthPx: z.int(),
        heightPx: z.int(),
        face: z.string().nullable(),
        recordedAt: dateTime,
      }),
    ),
    assembly: z
      .object({
        assemblyId: idSchema,
        jobId: idSchema,
        asked: askedSchema.omit({ outlineMm: true }),
        proposal: proposalSchema.nullable().describe('null: the worker has not found it'),
        recordedAt: dateTime,
      })
      .nullable()
      .describe('the newest that was asked for'),
    kept: joiningAnswer
      .extend({ proposal: proposalSchema.describe('whose contours are laid') })
      .nullable(),
  }),
  problems: ['panel-unknown', 'mark-invalid', 'subject-unknown'],
});

export const askAssembly = route({
  method: 'POST',
  path: '/v1/panels/{panelId}/shards/{piece}/assemblies',
  tag: TAG,
  summary: 'Ask how the shards may lie together; follow the job',
  access: 'recorder',
  params: atPiece,
  body: askAssemblyBody,
  answer: z.object({ assemblyId: idSchema, jobId: idSchema, ...writtenShape }),
  status: 202,
  problems: [
    'panel-unknown',
    'mark-invalid',
    'subject-unknown',
    'shard-twice',
    'shard-unknown',
    'shard-picture-unfit',
    'evidence-unknown',
    'object-withdrawn',
    'idempotency-key-reused',
  ],
});

export const keepJoining = route({
  method: 'POST',
  path: '/v1/panels/{panelId}/shards/{piece}/joinings',
  tag: TAG,
  summary: 'Keep how the shards lie together; joints, coverage and missing parts are reckoned',
  access: 'recorder',
  params: atPiece,
  body: keepJoiningBody,
  answer: joiningAnswer.extend(writtenShape),
  status: 201,
  problems: [
    'panel-unknown',
    'assembly-unknown',
    'assembly-not-ready',
    'shard-twice',
    'shard-unknown',
    'geometry-invalid',
    'date-invalid',
    'idempotency-key-reused',
  ],
});

export const withdrawJoining = route({
  method: 'POST',
  path: '/v1/joinings/{joiningId}/withdraw',
  tag: TAG,
  summary: 'Take back an assembly that was kept in error, with the reason',
  access: 'recorder',
  revises: 'optional',
  body: withdrawJoiningBody,
  answer: joiningAnswer.extend(writtenShape),
  problems: ['joining-unknown', 'joining-closed', 'idempotency-key-reused'],
});

export const missingGlass = route({
  method: 'GET',
  path: '/v1/joinings/{joiningId}/missing.{format}',
  tag: TAG,
  summary: 'Shapes of what is missing, 1:1, to cut an infill or a new piece from',
  access: 'reader',
  params: z.object({ joiningId: idSchema, format: z.enum(['svg', 'dxf']) }),
  query: z.object({
    mirrored: z.enum(['true', 'false']).default('false').describe('true: as seen from outside'),
  }),
  answerTypes: ['image/svg+xml', 'image/vnd.dxf'],
  problems: ['joining-unknown', 'nothing-missing'],
});
