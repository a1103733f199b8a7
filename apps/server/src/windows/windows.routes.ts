import { z } from 'zod';
import {
  addWindowBody,
  carryOverBody,
  describePanelBody,
  describePieceBody,
  idSchema,
  mediaAnswer,
  panelAnswer,
  pieceAnswer,
  placementAnswer,
  redrawWindowBody,
  rubbingAnswer,
  tracePieceBody,
  windowAnswer,
  windowPanelAnswer,
  writtenSchema,
  writtenShape,
} from '#libs/archive';
import { pageOf, pageQuery } from '../platform/paging.js';
import { route } from '../platform/route.js';
import { happeningAnswer } from './then/happenings.reader.js';
import { panelLeadsAnswer } from './then/leads.reader.js';
import { asOfAnswer, momentQuery } from './then/moment.js';
import { saidPieceAnswer } from './then/pieces.reader.js';

export const listWindows = route({
  method: 'GET',
  path: '/v1/sites/{siteId}/windows',
  tag: 'windows',
  summary: 'Windows of a site in the order in which one walks round',
  access: 'reader',
  query: pageQuery,
  answer: pageOf(windowAnswer),
  problems: ['site-unknown'],
});

export const addWindow = route({
  method: 'POST',
  path: '/v1/sites/{siteId}/windows',
  tag: 'windows',
  summary: 'Draw a window; its panels come out of the drawing',
  access: 'recorder',
  body: addWindowBody,
  answer: windowAnswer.extend(writtenShape),
  status: 201,
  problems: [
    'site-unknown',
    'window-exists',
    'mark-invalid',
    'drawing-invalid',
    'idempotency-key-reused',
  ],
});

export const window = route({
  method: 'GET',
  path: '/v1/windows/{windowId}',
  tag: 'windows',
  summary: 'A window with its panels, as it is or as it was by a day, as known at a moment',
  access: 'reader',
  query: momentQuery,
  answer: windowAnswer.extend({ panels: z.array(windowPanelAnswer), asOf: asOfAnswer }),
  problems: ['window-unknown', 'date-invalid'],
});

export const windowPieces = route({
  method: 'GET',
  path: '/v1/windows/{windowId}/pieces',
  tag: 'windows',
  summary: 'Pieces of a window about which something was said: findings, glass, work',
  access: 'reader',
  query: momentQuery,
  answer: z.object({ items: z.array(saidPieceAnswer), next: z.null() }),
  problems: ['window-unknown', 'date-invalid'],
});

export const windowLeads = route({
  method: 'GET',
  path: '/v1/windows/{windowId}/leads',
  tag: 'windows',
  summary: 'Came profiles in the lead drawings of a window, counted by panel',
  access: 'reader',
  query: momentQuery,
  answer: z.object({ items: z.array(panelLeadsAnswer), next: z.null() }),
  problems: ['window-unknown', 'date-invalid'],
});

export const listHappenings = route({
  method: 'GET',
  path: '/v1/sites/{siteId}/happenings',
  tag: 'sites',
  summary: 'What happened at a site or one of its windows, by its own dates, as known at a moment',
  access: 'reader',
  query: momentQuery.pick({ known: true }).extend({
    window: z.string().max(64).optional().describe('mark of a window of the site: wI'),
  }),
  answer: z.object({ items: z.array(happeningAnswer), next: z.null() }),
  problems: ['site-unknown', 'date-invalid'],
});

export const windowOutline = route({
  method: 'GET',
  path: '/v1/windows/{windowId}/outline',
  tag: 'windows',
  summary: 'Every lead drawing of a window in one packed outline (MLNO), at most 300 kB',
  access: 'reader',
  answerTypes: ['application/octet-stream'],
  problems: ['window-unknown'],
});

export const redrawWindow = route({
  method: 'PUT',
  path: '/v1/windows/{windowId}/drawing',
  tag: 'windows',
  summary: 'Revise the drawing of a window; panels follow it by their marks',
  access: 'recorder',
  revises: 'required',
  body: redrawWindowBody,
  answer: windowAnswer.extend(writtenShape),
  problems: ['window-unknown', 'drawing-invalid', 'panel-holds-findings', 'idempotency-key-reused'],
});

export const panel = route({
  method: 'GET',
  path: '/v1/panels/{panelId}',
  tag: 'panels',
  summary: 'A panel with its pictures, placements and rubbings',
  access: 'reader',
  answer: panelAnswer.extend({
    counts: z.object({
      pieces: z.int(),
      provisional: z.int(),
      findings: z.int(),
      interventions: z.int(),
      media: z.int(),
      pictures: z.int().describe('of the media, what is no document'),
      rubbings: z.int(),
      nets: z.int(),
    }),
    media: z
      .array(mediaAnswer)
      .describe(
        'newest first: the newest 500, and of those before them what is laid under the panel or shows its rubbing',
      ),
    mediaNext: z
      .string()
      .nullable()
      .describe(
        'send it as `after` to the list of the panel’s pictures for those that follow the newest 500',
      ),
    placements: z.array(placementAnswer),
    rubbings: z.array(rubbingAnswer),
  }),
  problems: ['panel-unknown'],
});

export const listPanelMedia = route({
  method: 'GET',
  path: '/v1/panels/{panelId}/media',
  tag: 'panels',
  summary: 'Pictures and documents of a panel and of what lies in it, newest first',
  access: 'reader',
  query: pageQuery,
  answer: pageOf(mediaAnswer),
  problems: ['panel-unknown'],
});

export const describePanel = route({
  method: 'PUT',
  path: '/v1/panels/{panelId}',
  tag: 'panels',
  summary: 'Revise sizes, state of work or what a panel shows',
  access: 'recorder',
  revises: 'required',
  body: describePanelBody,
  answer: panelAnswer.extend(writtenShape),
  problems: ['panel-unknown', 'date-invalid', 'idempotency-key-reused'],
});

export const listPieces = route({
  method: 'GET',
  path: '/v1/panels/{panelId}/pieces',
  tag: 'pieces',
  summary: 'Pieces of a panel: numbered ones, then provisional ones',
  access: 'reader',
  answer: z.object({ items: z.array(pieceAnswer), next: z.null() }),
  problems: ['panel-unknown'],
});

export const tracePiece = route({
  method: 'POST',
  path: '/v1/panels/{panelId}/pieces',
  tag: 'pieces',
  summary: 'Trace a provisional piece, in millimetres or on a picture that is laid under the panel',
  access: 'recorder',
  body: tracePieceBody,
  answer: pieceAnswer.extend(writtenShape),
  status: 201,
  problems: [
    'panel-unknown',
    'picture-unplaced',
    'geometry-invalid',
    'piece-exists',
    'idempotency-key-reused',
  ],
});

export const describePiece = route({
  method: 'PUT',
  path: '/v1/pieces/{pieceId}',
  tag: 'pieces',
  summary: 'Say what a piece shows and what glass it is',
  access: 'recorder',
  revises: 'required',
  body: describePieceBody,
  answer: pieceAnswer.extend(writtenShape),
  problems: ['piece-unknown', 'idempotency-key-reused'],
});

export const proposeCarryOver = route({
  method: 'GET',
  path: '/v1/panels/{panelId}/carry-over',
  tag: 'pieces',
  summary: 'Which piece of the signed drawing each provisional piece probably is, by overlap',
  access: 'reader',
  answer: z.object({
    matches: z.array(
      z.object({
        provisionalPieceId: idSchema,
        provisionalMark: z.string(),
        pieceId: idSchema.nullable(),
        pieceMark: z.string().nullable(),
        overlapRatio: z.number().describe('intersection over union, 0 to 1'),
      }),
    ),
  }),
  problems: ['panel-unknown', 'net-unsigned'],
});

export const carryOver = route({
  method: 'POST',
  path: '/v1/panels/{panelId}/carry-over',
  tag: 'pieces',
  summary: 'Confirm which piece each provisional one is; findings follow',
  access: 'recorder',
  body: carryOverBody,
  answer: writtenSchema.loose(),
  problems: [
    'panel-unknown',
    'net-unsigned',
    'subject-unknown',
    'piece-carried',
    'idempotency-key-reused',
  ],
});
