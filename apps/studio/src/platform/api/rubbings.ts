import type { Face, Layer } from './panels.js';
import { client, taken } from './request.js';

export interface RubbingConditions {
  readonly paintTested: true;
  readonly looseAreas: 'none' | 'covered' | 'left-out';
  readonly panelSupported: true;
}

export interface Sheet {
  readonly medium: string;
  readonly face: Face;
  readonly layer: Layer;
  readonly sheets: number;
  readonly takenBy: string;
  readonly shelf: string;
  readonly overall?: {
    readonly widthMm: number;
    readonly heightMm: number;
    readonly diagonal1Mm: number;
    readonly diagonal2Mm: number;
  };
}

/** How the picture of a rubbing gets its scale; the same shapes as libs/rubbing reads. */
export type Control =
  | {
      readonly kind: 'control_points';
      readonly points: { name: string; mm: [number, number] }[];
    }
  | {
      readonly kind: 'distances';
      readonly marks: string[];
      readonly distances: { from: string; to: string; mm: number }[];
    }
  | { readonly kind: 'target_sheet'; readonly ruler_mm?: number }
  | { readonly kind: 'scanner'; readonly dpi?: number }
  | { readonly kind: 'scale_bar'; readonly length_mm: number }
  | { readonly kind: 'diagonals'; readonly AC_mm: number; readonly BD_mm: number }
  | {
      readonly kind: 'sides_diagonals';
      readonly AB_mm: number;
      readonly BC_mm: number;
      readonly CD_mm: number;
      readonly DA_mm: number;
      readonly AC_mm: number;
      readonly BD_mm: number;
    };

export const recordRubbing = (
  panelId: string,
  body: {
    conditions: RubbingConditions | { notRubbedBecause: string };
    sheet?: Sheet;
    happened?: string;
  },
): Promise<unknown> =>
  taken(client.POST('/v1/panels/{panelId}/rubbings', { params: { path: { panelId } }, body }));

/** One picture of the rubbing, its scale, and the places of its marks. */
export interface PictureAsked {
  readonly mediaId: string;
  readonly control: Control;
  /** px of the upright picture, in the order of the control */
  readonly taps: [number, number][];
}

/** Lengths along the glass, as wax paper gives them, or as seen from the front. */
export type Surface = 'developed' | 'plan';

/** @param pictures one, or several that overlap and show one panel */
export const extractNet = (
  rubbingId: string,
  pictures: PictureAsked[],
  surface: Surface,
): Promise<{ jobId: string }> =>
  taken(
    client.POST('/v1/rubbings/{rubbingId}/extractions', {
      params: { path: { rubbingId } },
      body: { pictures, surface },
    }),
  );
