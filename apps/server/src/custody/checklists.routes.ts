import { z } from 'zod';
import { idSchema } from '#libs/archive';
import { route } from '../platform/route.js';

const answerTypes = ['application/pdf'];

export const windowChecklist = route({
  method: 'GET',
  path: '/v1/windows/{windowId}/checklists/{list}',
  tag: 'custody',
  summary:
    'A list to tick by hand: panels of a window as they come out, or as they go back (PDF, A4)',
  access: 'reader',
  params: z.object({ windowId: idSchema, list: z.enum(['removal', 'refixing']) }),
  answerTypes,
  problems: ['window-unknown'],
});

export const panelChecklist = route({
  method: 'GET',
  path: '/v1/panels/{panelId}/checklists/{list}',
  tag: 'custody',
  summary:
    'A list to tick by hand: pieces and leads of a panel as it is taken apart, or as it is rebuilt (PDF, A4)',
  access: 'reader',
  params: z.object({ panelId: idSchema, list: z.enum(['dismantling', 'rebuild']) }),
  answerTypes,
  problems: ['panel-unknown', 'net-unknown'],
});
