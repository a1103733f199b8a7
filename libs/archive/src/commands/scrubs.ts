import { z } from 'zod';
import { defineCommand } from '../command.js';
import type { ScrubRow } from '../rows.js';
import { findRow, putRow } from '../tables.js';

const count = z.int().min(0);

/** Run by the program when a scrub ends; no address of the API leads here. */
export const recordScrub = defineCommand({
  type: 'scrub.record',
  body: z.strictObject({
    scrubId: z.uuid(),
    startedAt: z.iso.datetime(),
    endedAt: z.iso.datetime(),
    stores: z.array(z.enum(['primary', 'replica'])).min(1),
    objects: count.describe('different objects that the ledger names'),
    sizeBytes: count.describe('of these objects, once each'),
    checkpoints: count,
    troubles: count.describe('missing, damaged, or there although withdrawn'),
    mended: count,
    report: z.strictObject({ digest: z.string(), sizeBytes: count }),
  }),
  role: 'anyone',
  siteOf: () => Promise.resolve(null),
  decide: ({ report, ...said }) =>
    Promise.resolve({
      log: 'studio' as const,
      subject: null,
      happened: null,
      payload: { ...said, report: report.digest },
      objects: [{ ...report, role: 'scrub-report' }],
    }),
  async project({ payload, seq }, tx) {
    const { startedAt, endedAt, ...rest } = payload;
    await putRow(tx, 'scrub', {
      ...rest,
      startedAt: new Date(startedAt),
      endedAt: new Date(endedAt),
      version: seq,
    });
  },
  answer: async ({ payload: { scrubId } }, tx): Promise<ScrubRow> =>
    (await findRow(tx, 'scrub', { scrubId }))!,
});
