import { z } from 'zod';
import { measureText } from '#libs/vocabulary';
import type { FindingRow } from '../rows.js';
import {
  dateTime,
  faceSchema,
  idSchema,
  layerSchema,
  versionSchema,
  xyMmSchema,
} from '../shapes.js';

export const GEOMETRY_KINDS = ['point', 'line', 'area'] as const;

export const measureAnswer = z.object({
  countN: z.number().nullable(),
  lengthMm: z.number().nullable(),
  areaMm2: z.number().nullable(),
  shareRatio: z.number().nullable().describe('of the piece, 0 to 1'),
});

export const findingAnswer = z.object({
  findingId: idSchema,
  siteId: idSchema,
  panelId: idSchema,
  inPanel: z.string().nullable().describe('mark of the piece, lead or joint in the panel'),
  term: z.string(),
  geometry: z.object({ kind: z.enum(GEOMETRY_KINDS), xyMm: z.array(xyMmSchema) }),
  measure: measureAnswer.describe('computed from the geometry'),
  measureText: z.string(),
  entered: z.record(z.string(), z.number()).describe('quantities measured by hand, by name'),
  face: faceSchema,
  layer: layerSchema,
  netRevision: z.int().nullable().describe('lead drawing that it was placed on'),
  evidence: z.array(idSchema),
  authorId: idSchema,
  happened: z.string().nullable(),
  note: z.string().nullable(),
  state: z.enum(['recorded', 'superseded', 'withdrawn']),
  entrySeq: z.int(),
  recordedAt: dateTime,
  version: versionSchema,
});

export type FindingAnswer = z.infer<typeof findingAnswer>;
export type StoredMeasure = z.infer<typeof measureAnswer> & { entered?: Record<string, number> };

export function findingView(row: FindingRow): FindingAnswer {
  const { entered, ...measure } = row.measure as StoredMeasure;
  return {
    findingId: row.findingId,
    siteId: row.siteId,
    panelId: row.panelId,
    inPanel: row.inPanel,
    term: row.term,
    geometry: row.geometry as FindingAnswer['geometry'],
    measure,
    measureText: measureText(measure),
    entered: entered ?? {},
    face: row.face as FindingAnswer['face'],
    layer: row.layer as FindingAnswer['layer'],
    netRevision: row.netRevision,
    evidence: row.evidence,
    authorId: row.authorId,
    happened: row.happened,
    note: row.note,
    state: row.state as FindingAnswer['state'],
    entrySeq: Number(row.entrySeq),
    recordedAt: row.recordedAt.toISOString(),
    version: Number(row.version),
  };
}
