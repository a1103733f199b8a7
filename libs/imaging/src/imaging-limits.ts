/** What one file may cost. */
export interface ImagingLimits {
  maxBytes: number;
  /** width × height of one picture */
  maxPixels: number;
  /** pictures in one file; reduced copies inside a TIFF do not count */
  maxFrames: number;
  /** wall time of one decoding step */
  maxMs: number;
  /** resident memory of the decoding process */
  maxMemoryMiB: number;
}

/** 2 GiB, 300 MP: a 600 dpi scan of a sheet 450 × 320 mm is 80 MP. */
export const DEFAULT_IMAGING_LIMITS: ImagingLimits = {
  maxBytes: 2 ** 31,
  maxPixels: 300_000_000,
  maxFrames: 1,
  maxMs: 120_000,
  maxMemoryMiB: 1536,
};
