import { readFileSync } from 'node:fs';
import type { RubbingImage } from '#libs/rubbing';
import type { PictureFile } from './read-rubbing.js';

/**
 * Images whose pixels are read from their files when they are looked at, one at a time: asking for
 * the pixels of one lets go of those of the one before.
 */
export function picturesInFiles(files: readonly PictureFile[]): RubbingImage[] {
  let held: { path: string; rgb: Uint8Array } | null = null;
  return files.map(
    ({ path, ...size }): RubbingImage => ({
      ...size,
      get rgb() {
        if (held?.path !== path) {
          held = null;
          held = { path, rgb: readFileSync(path) };
        }
        return held.rgb;
      },
    }),
  );
}
