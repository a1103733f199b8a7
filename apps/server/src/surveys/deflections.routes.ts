import { z } from 'zod';
import {
  deflectionAnswer,
  recordDeflectionBody,
  withdrawDeflectionBody,
  writtenShape,
} from '#libs/archive';
import { route } from '../platform/route.js';

const TAG = 'bulges';

export const listDeflections = route({
  method: 'GET',
  path: '/v1/panels/{panelId}/deflections',
  tag: TAG,
  summary: 'Readings of how far a panel stands out of its plane, newest recorded first',
  access: 'reader',
  answer: z.object({ items: z.array(deflectionAnswer), next: z.null() }),
  problems: ['panel-unknown'],
});

export const recordDeflection = route({
  method: 'POST',
  path: '/v1/panels/{panelId}/deflections',
  tag: TAG,
  summary: 'Record readings from a string line, a laser or a total station',
  access: 'recorder',
  body: recordDeflectionBody,
  answer: deflectionAnswer.extend(writtenShape),
  status: 201,
  problems: ['panel-unknown', 'readings-invalid', 'date-invalid', 'idempotency-key-reused'],
});

export const withdrawDeflection = route({
  method: 'POST',
  path: '/v1/deflections/{deflectionId}/withdraw',
  tag: TAG,
  summary: 'Take back readings that were recorded in error, with the reason',
  access: 'recorder',
  revises: 'optional',
  body: withdrawDeflectionBody,
  answer: deflectionAnswer.extend(writtenShape),
  problems: ['deflection-unknown', 'deflection-closed', 'idempotency-key-reused'],
});

export const deflectionChart = route({
  method: 'GET',
  path: '/v1/deflections/{deflectionId}/chart.svg',
  tag: TAG,
  summary: 'Contours of the bulge on the panel and its leads, readable in black and white',
  access: 'reader',
  answerTypes: ['image/svg+xml'],
  problems: ['deflection-unknown', 'panel-unknown'],
});

export const deflectionChange = route({
  method: 'GET',
  path: '/v1/deflections/{deflectionId}/change',
  tag: TAG,
  summary: 'What moved since other readings of the same panel, by more than the noise or not',
  access: 'reader',
  query: z.object({
    since: z
      .uuid()
      .optional()
      .describe('readings to compare with; left out: those of the day before'),
  }),
  answer: z.object({
    since: z
      .object({ deflectionId: z.uuid(), happened: z.string() })
      .nullable()
      .describe('null: there are no earlier readings'),
    change: z
      .object({
        atMm: z.tuple([z.number(), z.number()]),
        changeMm: z.object({ value: z.number(), sigma: z.number() }),
        isMoreThanNoise: z.boolean(),
        movedRatio: z.number(),
        sentence: z.string(),
      })
      .nullable(),
  }),
  problems: ['deflection-unknown', 'panel-unknown'],
});
