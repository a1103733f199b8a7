import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import type { MullionConfig } from '#libs/archive';
import { Imaging } from '#libs/imaging';

/**
 * Decoding processes within the configured limits. Intake and tiles have their own: a heavy upload
 * never keeps a reader waiting.
 */
export function openImaging(config: MullionConfig): Imaging {
  const scratchFolder = join(config.home, 'scratch');
  mkdirSync(scratchFolder, { recursive: true, mode: 0o700 });
  const { maxUploadBytes, maxPixels, maxFrames } = config;
  return new Imaging({ scratchFolder, limits: { maxBytes: maxUploadBytes, maxPixels, maxFrames } });
}
