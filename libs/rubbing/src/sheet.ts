/** What a person hands in: one photograph or scan of a rubbing, and how it is scaled. */

export interface RubbingImage {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Upright, sRGB, row-major, three bytes a pixel. */
  readonly rgb: Uint8Array;
  /** Given for a flat scan; a scan has no lens distortion to look for. */
  readonly dpi?: number;
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
  | { readonly kind: 'scale_bar'; readonly length_mm: number };

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
}
