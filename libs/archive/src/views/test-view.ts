import { z } from 'zod';
import { TEST_KINDS } from '#libs/vocabulary';
import type { TestRow } from '../rows.js';
import { dateTime, idSchema, versionSchema } from '../shapes.js';

export const testKindSchema = z.enum(TEST_KINDS.map(({ key }) => key) as [string]);

export const testAnswer = z.object({
  testId: idSchema,
  siteId: idSchema,
  subject: z.string(),
  kind: testKindSchema,
  place: z.string().describe('where on it, in words'),
  atMm: z
    .tuple([z.number(), z.number()])
    .nullable()
    .describe('the place itself, in the panel’s frame; null: said in words only'),
  method: z.string(),
  byRole: z.string().nullable(),
  sample: z.string().nullable().describe('what was taken and where it is kept'),
  images: z.array(idSchema),
  happened: z.string(),
  outcome: z.string().nullable().describe('null: the result is awaited'),
  result: z.string().nullable(),
  knownOn: z.string().nullable(),
  evidence: z.array(idSchema),
  testerId: idSchema,
  state: z.enum(['recorded', 'withdrawn']),
  entrySeq: z.int(),
  recordedAt: dateTime,
  version: versionSchema,
});

export function testView(row: TestRow): z.infer<typeof testAnswer> {
  const { atXMm, atYMm, ...said } = row;
  return {
    ...said,
    atMm: atXMm === null || atYMm === null ? null : [atXMm, atYMm],
    entrySeq: Number(row.entrySeq),
    recordedAt: row.recordedAt.toISOString(),
    version: Number(row.version),
  };
}
