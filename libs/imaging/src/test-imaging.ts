import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Imaging, type ImagingOptions } from './imaging.js';

/** How tests start the decoding process: from source, without a build. */
export const CHILD_FROM_SOURCE = {
  script: fileURLToPath(new URL('./decode-child.ts', import.meta.url)),
  execArgv: ['--import', new URL('../../../test/run-source.mjs', import.meta.url).href],
};

export function openTestImaging(options: Partial<ImagingOptions> = {}): {
  imaging: Imaging;
  folder: string;
} {
  const folder = mkdtempSync(join(tmpdir(), 'imaging-'));
  return {
    imaging: new Imaging({ scratchFolder: folder, child: CHILD_FROM_SOURCE, ...options }),
    folder,
  };
}

export function imageFixture(name: string): string {
  return fileURLToPath(new URL(`../../../fixtures/images/${name}`, import.meta.url));
}
