import { z } from 'zod';
import type { PanelRow } from '../rows.js';
import { idSchema, versionSchema } from '../shapes.js';
import { without } from '../without.js';
import { flatRing, sizesSchema, WORK_STATES } from './window-view.js';

export const panelAnswer = z.object({
  panelId: idSchema,
  siteId: idSchema,
  windowId: idSchema,
  mark: z.string(),
  fullMark: z.string(),
  ringMm: flatRing.describe('outline in the window’s frame, flat, mm'),
  sizes: sizesSchema,
  workState: z.enum(WORK_STATES),
  shows: z.string().nullable(),
  netRevision: z.int().nullable(),
  signedRevision: z.int().nullable(),
  retired: z.boolean(),
  version: versionSchema,
});

export function panelView(row: PanelRow, fullMark: string): z.infer<typeof panelAnswer> {
  const { version, sizes, workState, ...shown } = without(row, 'sortKey');
  return {
    ...shown,
    fullMark,
    sizes: sizes as z.infer<typeof sizesSchema>,
    workState: workState as (typeof WORK_STATES)[number],
    version: Number(version),
  };
}
