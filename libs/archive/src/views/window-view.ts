import { z } from 'zod';
import type { PieceRow, WindowRow } from '../rows.js';
import { idSchema, versionSchema } from '../shapes.js';
import { without } from '../without.js';
import { conditionClassSchema } from './condition-view.js';

export const flatRing = z
  .array(z.number())
  .describe('closed ring, flat x0,y0,x1,y1,… mm; closing edge implied');

export const windowAnswer = z.object({
  windowId: idSchema,
  siteId: idSchema,
  mark: z.string(),
  fullMark: z.string(),
  title: z.string(),
  drawing: z.record(z.string(), z.unknown()).describe('as it was sent: libs/elevation'),
  version: versionSchema,
});

export function windowView(row: WindowRow, siteMark: string): z.infer<typeof windowAnswer> {
  return {
    windowId: row.windowId,
    siteId: row.siteId,
    mark: row.mark,
    fullMark: `${siteMark}.${row.mark}`,
    title: row.title,
    drawing: row.drawing as Record<string, unknown>,
    version: Number(row.version),
  };
}

export const WORK_STATES = ['in-place', 'out', 'on-bench', 'rebuilt'] as const;

const sizeMm = z.number().positive().max(100_000);

export const sizeSchema = z.strictObject({
  widthMm: sizeMm,
  heightMm: sizeMm,
  diagonalsMm: z.tuple([sizeMm, sizeMm]).optional(),
  source: z.enum(['measured', 'computed', 'estimated']),
});

export const sizesSchema = z.strictObject({
  panel: sizeSchema.optional().describe('over the outer leads'),
  tight: sizeSchema.optional().describe('of the opening, to the back of groove or rebate'),
  sight: sizeSchema.optional().describe('of the opening, as seen'),
});

/** What one panel of a window says in the window's view. */
export const windowPanelAnswer = z.object({
  panelId: idSchema,
  mark: z.string(),
  ringMm: flatRing.describe('outline in the window’s frame, flat, mm'),
  workState: z.enum(WORK_STATES),
  shows: z.string().nullable(),
  pieces: z.int().describe('of the signed lead drawing'),
  findings: z.int(),
  signedRevision: z.int().nullable(),
  netRevision: z.int().nullable(),
  lastHappened: z.string().nullable().describe('EDTF of the newest finding or intervention'),
  condition: z
    .object({
      conditionClass: conditionClassSchema,
      reason: z.string(),
      happened: z.string(),
    })
    .nullable()
    .describe('the class that stands; null: nobody gave one'),
  terms: z.record(z.string(), z.int()).describe('findings by term'),
  lastWork: z
    .object({ operation: z.string(), happened: z.string().nullable() })
    .nullable()
    .describe('the latest intervention on it, on something in it or on the whole window'),
  doubts: z.int().nullable().describe('leads and places in doubt; null: no lead drawing'),
  glass: z.record(z.string(), z.int()).describe('pieces by what glass they are, as described'),
  retired: z.boolean(),
  version: versionSchema,
});

export const pieceAnswer = z.object({
  pieceId: idSchema,
  panelId: idSchema,
  mark: z.string(),
  provisional: z.boolean(),
  ringMm: flatRing.describe('in the panel’s frame, flat, mm'),
  areaMm2: z.number(),
  shows: z.string().nullable(),
  glass: z.string().nullable(),
  carriedTo: idSchema.nullable(),
  retired: z.boolean(),
  version: versionSchema,
});

export function pieceView(row: PieceRow): z.infer<typeof pieceAnswer> {
  const { version, ...shown } = without(row, 'sortKey', 'siteId');
  return { ...shown, version: Number(version) };
}
