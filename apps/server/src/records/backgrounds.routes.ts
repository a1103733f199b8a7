import { z } from 'zod';
import { backgroundAnswer, describeBackgroundBody, markText, writtenShape } from '#libs/archive';
import { route } from '../platform/route.js';

export const readBackgrounds = route({
  method: 'GET',
  path: '/v1/backgrounds',
  tag: 'records',
  summary: 'What is known of a place and of what it lies in: keeper, protection, maker, technique',
  access: 'reader',
  query: z.object({ subject: markText }),
  answer: z.object({
    mark: z.string().describe('the place asked about, in full'),
    items: z.array(backgroundAnswer).describe('the nearest first'),
    next: z.null(),
  }),
  problems: ['mark-unknown'],
});

export const describeBackground = route({
  method: 'PUT',
  path: '/v1/sites/{siteId}/backgrounds',
  tag: 'records',
  summary: 'Say what is known of a site, window, panel or piece, the whole of it each time',
  access: 'recorder',
  revises: 'optional',
  body: describeBackgroundBody,
  answer: backgroundAnswer.extend(writtenShape),
  problems: [
    'site-unknown',
    'mark-invalid',
    'subject-unknown',
    'date-invalid',
    'idempotency-key-reused',
  ],
});
