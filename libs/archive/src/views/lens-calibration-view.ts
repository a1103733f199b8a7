import { z } from 'zod';
import type { LensCalibrationRow } from '../rows.js';
import { dateTime, idSchema } from '../shapes.js';
import { without } from '../without.js';

export const lensCalibrationAnswer = z.object({
  calibrationId: idSchema,
  siteId: idSchema,
  mediaId: idSchema.describe('photograph of the target sheet'),
  camera: z.string(),
  focalLengthMm: z.number(),
  widthPx: z.int(),
  heightPx: z.int(),
  k1: z.number(),
  k2: z.number().nullable(),
  k1Sigma: z.number().nullable().describe('standard error of k1'),
  points: z.int().describe('corners of the target that were found'),
  rmsMm: z.number().describe('what they differ by on the sheet once the lens is taken out'),
  recordedAt: dateTime,
});

export function lensCalibrationView(
  row: LensCalibrationRow,
): z.infer<typeof lensCalibrationAnswer> {
  return { ...without(row, 'version'), recordedAt: row.recordedAt.toISOString() };
}
