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
  k2: z.number(),
  sigmaK1: z.number().describe('one standard deviation of k1'),
  tags: z.int().describe('tags of the target sheet that were found'),
  rmsPx: z.number().describe('what their corners differ by once the lens is taken out'),
  reach: z.number().describe('how far from the middle the tags lay, 1 is the corner'),
  recordedAt: dateTime,
});

export function lensCalibrationView(
  row: LensCalibrationRow,
): z.infer<typeof lensCalibrationAnswer> {
  return { ...without(row, 'version'), recordedAt: row.recordedAt.toISOString() };
}
