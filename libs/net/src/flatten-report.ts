/** How a picture of a rubbing was brought to millimetres, and how far that can be trusted. */
import { z } from 'zod';

/** How a mark was found: by its own figure near the tap, or, where there is none, as tapped. */
export type MarkFigure = 'cross' | 'corner' | 'stroke' | 'tag' | 'tap';

export interface FlattenReport {
  /** Residual of each mark: how far the fitted map puts it from where it was measured. */
  readonly marks: readonly { name: string; residualMm: number; figure?: MarkFigure }[];
  readonly rmsMm: number;
  /** Radial distortion that was taken out; null: none was (see `lensDoubt`). */
  readonly lens: {
    readonly k1: number;
    readonly source: string;
    readonly k2?: number;
    /** One standard deviation of k1. */
    readonly sigmaK1?: number;
  } | null;
  readonly worstMark: string | null;
  /** What the scale was taken from. */
  readonly control?: string;
  /** Each measured distance beside what the fitted map makes of it. */
  readonly distances?: readonly {
    from: string;
    to: string;
    measuredMm: number;
    fittedMm: number;
    differenceMm: number;
  }[];
  /** Measurements beyond what the map needs; 0: a slip in any one of them cannot be seen. */
  readonly spareMeasurements?: number;
  /** Standard deviation of a length right across the sheet. */
  readonly scale?: { readonly plusMinusMm: number; readonly overMm: number };
  /** How much a place in mid-sheet may be off through the lens, one standard deviation, said in words. */
  readonly lensDoubt?: { readonly midSheetMm: number; readonly sentence: string };
  /** What a person should know before building on it, in sentences. */
  readonly notes?: readonly string[];
}

const mm = z.number();

export const flattenReportSchema = z.strictObject({
  marks: z.array(
    z.strictObject({
      name: z.string(),
      residualMm: mm.min(0),
      figure: z.enum(['cross', 'corner', 'stroke', 'tag', 'tap']).optional(),
    }),
  ),
  rmsMm: mm.min(0),
  lens: z
    .strictObject({
      k1: z.number(),
      source: z.string(),
      k2: z.number().optional(),
      sigmaK1: z.number().min(0).optional(),
    })
    .nullable(),
  worstMark: z.string().nullable(),
  control: z.string().optional(),
  distances: z
    .array(
      z.strictObject({
        from: z.string(),
        to: z.string(),
        measuredMm: mm.positive(),
        fittedMm: mm.min(0),
        differenceMm: mm,
      }),
    )
    .optional(),
  spareMeasurements: z.int().min(0).optional(),
  scale: z.strictObject({ plusMinusMm: mm.min(0), overMm: mm.positive() }).optional(),
  lensDoubt: z.strictObject({ midSheetMm: mm.min(0), sentence: z.string() }).optional(),
  notes: z.array(z.string()).optional(),
});
