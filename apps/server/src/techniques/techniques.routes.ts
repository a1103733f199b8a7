import { z } from 'zod';
import { describeTechniqueBody, pieceTechniqueAnswer, writtenShape } from '#libs/archive';
import { route } from '../platform/route.js';

const TAG = 'pieces';

export const listTechniques = route({
  method: 'GET',
  path: '/v1/panels/{panelId}/techniques',
  tag: TAG,
  summary: 'How the pieces of a panel are made: layers, paint, thickness, the glass before',
  access: 'reader',
  answer: z.object({ items: z.array(pieceTechniqueAnswer), next: z.null() }),
  problems: ['panel-unknown'],
});

export const describeTechnique = route({
  method: 'PUT',
  path: '/v1/pieces/{pieceId}/technique',
  tag: TAG,
  summary: 'Say how a piece is made; the whole of it each time',
  access: 'recorder',
  revises: 'optional',
  body: describeTechniqueBody,
  answer: pieceTechniqueAnswer.extend(writtenShape),
  problems: [
    'piece-unknown',
    'piece-carried',
    'geometry-invalid',
    'mark-invalid',
    'date-invalid',
    'idempotency-key-reused',
  ],
});
