import { z } from 'zod';
import { dateTime } from '#libs/archive';
import { route } from '../platform/route.js';

export const backupState = route({
  method: 'GET',
  path: '/v1/backups/state',
  tag: 'archive',
  summary: 'Whether the archive would survive the loss of its disk',
  access: 'signed-in',
  answer: z.object({
    state: z
      .enum(['none', 'same-disk', 'old', 'lossy', 'good'])
      .describe('lossy: objects were missing or damaged in the archive when it was copied'),
    place: z.string().nullable(),
    madeAt: dateTime.nullable(),
    says: z.string(),
    doThis: z.string().nullable().describe('what to do about it; null when nothing is to be done'),
  }),
  problems: ['role-insufficient'],
});
