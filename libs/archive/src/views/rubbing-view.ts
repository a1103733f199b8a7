import { z } from 'zod';
import type { RubbingRow } from '../rows.js';
import { dateTime, idSchema } from '../shapes.js';

export const rubbingAnswer = z.object({
  rubbingId: idSchema,
  siteId: idSchema,
  panelId: idSchema,
  conditions: z.record(z.string(), z.unknown()),
  sheet: z.record(z.string(), z.unknown()).nullable(),
  happened: z.string().nullable(),
  recordedAt: dateTime,
});

export function rubbingView(row: RubbingRow): z.infer<typeof rubbingAnswer> {
  return {
    rubbingId: row.rubbingId,
    siteId: row.siteId,
    panelId: row.panelId,
    conditions: row.conditions as Record<string, unknown>,
    sheet: row.sheet as Record<string, unknown> | null,
    happened: row.happened,
    recordedAt: row.recordedAt.toISOString(),
  };
}
