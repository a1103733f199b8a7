import { client, taken } from './request.js';

/** What the lens of one camera bends at one focal length, found from a photograph of the target sheet. */
export interface LensCalibration {
  readonly calibrationId: string;
  readonly siteId: string;
  readonly mediaId: string;
  readonly camera: string;
  readonly focalLengthMm: number;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly k1: number;
  readonly k2: number;
  readonly sigmaK1: number;
  /** tags of the target that were found */
  readonly tags: number;
  readonly rmsPx: number;
  readonly recordedAt: string;
}

export const readLensCalibrations = async (
  signal: AbortSignal,
): Promise<readonly LensCalibration[]> =>
  (await taken(client.GET('/v1/lens-calibrations', { signal }))).items;

export const calibrateLens = (mediaId: string): Promise<{ jobId: string }> =>
  taken(client.POST('/v1/lens-calibrations', { body: { mediaId } }));

export const targetSheet = (paper: 'A4' | 'A3' | 'Letter'): string =>
  `/v1/target-sheets/${paper}.pdf`;
