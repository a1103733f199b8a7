/** One picture of how a drawing was found. */
export interface RubbingStage {
  readonly key: 'flattened' | 'wax' | 'map' | 'regions' | 'lines' | 'leads' | 'doubts';
  readonly title: string;
  /** What the stage did and what to look for, with the figures of this run. */
  readonly caption: string;
  readonly widthPx: number;
  readonly heightPx: number;
  /** sRGB, row-major, three bytes a pixel. */
  readonly rgb: Uint8Array;
}
