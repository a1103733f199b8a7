import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Imaging, type ImagingOptions } from './imaging.js';

export function openTestImaging(options: Partial<ImagingOptions> = {}): {
  imaging: Imaging;
  folder: string;
} {
  const folder = mkdtempSync(join(tmpdir(), 'imaging-'));
  return {
    imaging: new Imaging({ scratchFolder: folder, ...options }),
    folder,
  };
}

export function imageFixture(name: string): string {
  return fileURLToPath(new URL(`../../../fixtures/images/${name}`, import.meta.url));
}
