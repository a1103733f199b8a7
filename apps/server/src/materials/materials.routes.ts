import { z } from 'zod';
import { countMaterialBody, enterMaterialBody, materialAnswer, writtenShape } from '#libs/archive';
import { route } from '../platform/route.js';

export const listMaterials = route({
  method: 'GET',
  path: '/v1/materials',
  tag: 'materials',
  summary: 'The studio’s materials, a batch each, with what is left by the books',
  access: 'recorder',
  query: z.object({ state: z.enum(['in-use', 'retired', 'all']).default('in-use') }),
  answer: z.object({ items: z.array(materialAnswer), next: z.null() }),
  problems: ['role-insufficient'],
});

export const enterMaterial = route({
  method: 'POST',
  path: '/v1/materials',
  tag: 'materials',
  summary: 'Enter a batch that came in',
  access: 'recorder',
  body: enterMaterialBody,
  answer: materialAnswer.extend(writtenShape),
  status: 201,
  problems: ['date-invalid', 'idempotency-key-reused'],
});

export const countMaterial = route({
  method: 'POST',
  path: '/v1/materials/{materialId}/count',
  tag: 'materials',
  summary: 'Say what is left of a batch, counted; the difference stays in the history',
  access: 'recorder',
  revises: 'optional',
  body: countMaterialBody,
  answer: materialAnswer.extend(writtenShape),
  problems: ['material-unknown', 'idempotency-key-reused'],
});
