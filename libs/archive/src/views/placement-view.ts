import { z } from 'zod';
import type { PlacementRow } from '../rows.js';
import { idSchema, versionSchema, xyMmSchema, xyPxSchema } from '../shapes.js';

const placedPoint = z.object({
  imageXyPx: xyPxSchema,
  panelXyMm: xyMmSchema,
  residualMm: z.number(),
  name: z.string().optional().describe('of the mark, where it has one'),
});

export const placementAnswer = z.object({
  panelId: idSchema,
  mediaId: idSchema,
  imageFromPanel: z
    .array(z.number())
    .describe('3 × 3, row by row: panel mm → px of the upright picture'),
  points: z.array(placedPoint),
  rmsMm: z.number(),
  worst: z
    .int()
    .nullable()
    .describe(
      'place in points of the one that fits worst; null with four points, which always fit',
    ),
  source: z.string().describe('points, or rubbing: found when the lead drawing was read'),
  version: versionSchema,
});

export function placementView(row: PlacementRow): z.infer<typeof placementAnswer> {
  const points = row.points as z.infer<typeof placedPoint>[];
  const worst = points.reduce(
    (best, point, i) => (point.residualMm > (points[best]?.residualMm ?? -1) ? i : best),
    0,
  );
  return {
    panelId: row.panelId,
    mediaId: row.mediaId,
    imageFromPanel: row.imageFromPanel,
    points,
    rmsMm: row.rmsMm,
    worst: points.length > 4 ? worst : null,
    source: row.source,
    version: Number(row.version),
  };
}
