import { z } from 'zod';
import { DRILL_OPENERS, dateTime } from '#libs/archive';
import { route } from '../platform/route.js';

const said = {
  says: z.string(),
  doThis: z.string().nullable().describe('what to do about it; null when nothing is to be done'),
};

export const backupState = route({
  method: 'GET',
  path: '/v1/backups/state',
  tag: 'archive',
  summary: 'Whether the archive would survive the loss of its disk',
  access: 'signed-in',
  answer: z.object({
    state: z
      .enum(['none', 'failing', 'same-disk', 'old', 'lossy', 'good'])
      .describe('lossy: objects were missing or damaged in the archive when it was copied'),
    place: z.string().nullable(),
    madeAt: dateTime.nullable(),
    ...said,
    drill: z
      .object({
        state: z.enum(['none', 'old', 'good']),
        restoredAt: dateTime.nullable(),
        openedWith: z.enum(DRILL_OPENERS).nullable(),
        ...said,
      })
      .describe('the last restore out of a place of backups, as the place told at a backup since'),
    scrub: z
      .object({
        state: z.enum(['none', 'damaged', 'old', 'good']),
        endedAt: dateTime.nullable(),
        isUnderWay: z.boolean(),
        ...said,
      })
      .describe('the last reading of every object'),
    replica: z
      .object({
        state: z.enum(['none', 'owed', 'good']),
        owed: z.number().int().describe('writes that wait for the second place, up to 100'),
        since: dateTime.nullable(),
        ...said,
      })
      .describe('the second place of every object'),
  }),
  problems: ['role-insufficient'],
});
