/** What a person hands in: one photograph or scan of a rubbing, and how it is scaled. */

export interface RubbingImage {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Upright, sRGB, row-major, three bytes a pixel. */
  readonly rgb: Uint8Array;
  /** Given for a flat scan; a scan has no lens distortion to look for. */
  readonly dpi?: number;
  /** A calibration of this camera at this focal length, for where the picture itself cannot tell. */
  readonly lens?: {
    readonly k1: number;
    readonly k2?: number;
    /** One standard deviation of k1 as the calibration found it. */
    readonly sigmaK1?: number;
    readonly source: string;
  };
}

/** Lengths in millimetres; marks A B C D run clockwise from top left, as the image shows them. */
export type RubbingControl =
  | {
      readonly kind: 'control_points';
      readonly points: readonly { readonly name: string; readonly mm: readonly [number, number] }[];
    }
  | {
      readonly kind: 'sides_diagonals';
      readonly AB_mm: number;
      readonly BC_mm: number;
      readonly CD_mm: number;
      readonly DA_mm: number;
      readonly AC_mm: number;
      readonly BD_mm: number;
    }
  | { readonly kind: 'diagonals'; readonly AC_mm: number; readonly BD_mm: number }
  | {
      /** Marks anywhere on the sheet, four or more, tapped in this order, and distances measured between them. */
      readonly kind: 'distances';
      readonly marks: readonly string[];
      readonly distances: readonly {
        readonly from: string;
        readonly to: string;
        readonly mm: number;
      }[];
      /** How far a reading may be off; 0.5 for a tape, which is the default. */
      readonly toleranceMm?: number;
    }
  | { readonly kind: 'scale_bar'; readonly length_mm: number }
  | {
      /** Strips of the printed target sheet laid round the panel; found without taps. */
      readonly kind: 'target_sheet';
      readonly sheet?: string;
      /** Length of a strip's ruler as measured on the print, where the printer did not keep 1:1. */
      readonly ruler_mm?: number;
    }
  | {
      /** A flat scan at a known resolution; without `dpi` the picture's own counts. No taps. */
      readonly kind: 'scanner';
      readonly dpi?: number;
    };

export interface RubbingSheet {
  readonly image: RubbingImage;
  readonly control: RubbingControl;
  /** Where the person tapped, in pixels of the upright image, in the order of the marks. */
  readonly taps: readonly (readonly [number, number])[];
}

export interface RubbingOptions {
  /** Which face of the panel was rubbed; the outside is mirrored into the inside frame. */
  readonly face?: 'inside' | 'outside';
  readonly faceWidthsInUseMm?: readonly number[];
  /** Pictures of every stage come with the result. */
  readonly explain?: boolean;
}
