import { z } from 'zod';
import { siteMarkOf } from '../place.js';
import type { SiteRow } from '../rows.js';
import { idSchema, versionSchema } from '../shapes.js';

export const siteAnswer = z.object({
  siteId: idSchema,
  code: z.string(),
  unit: z.string().nullable(),
  mark: z.string().describe('SLM or SLM:CH'),
  name: z.string(),
  scheme: z.enum(['church', 'free']),
  place: z.string().nullable(),
  version: versionSchema,
});

export function siteView(row: SiteRow): z.infer<typeof siteAnswer> {
  return {
    siteId: row.siteId,
    code: row.code,
    unit: row.unit,
    mark: siteMarkOf(row),
    name: row.name,
    scheme: row.scheme as 'church' | 'free',
    place: row.place,
    version: Number(row.version),
  };
}
