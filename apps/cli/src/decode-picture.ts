import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Imaging, ImagingError, type RgbPixels } from '#libs/imaging';
import { Refusal } from './refusal.js';

/** Run from source (tests), the decoding process is started from source too. */
const fromSource = import.meta.url.endsWith('.ts');

/** Upright sRGB pixels of a picture, decoded in a process of its own. @throws Refusal with the reason */
export async function decodePicture(path: string): Promise<RgbPixels> {
  const scratchFolder = await mkdtemp(join(tmpdir(), 'mullion-'));
  const imaging = new Imaging({
    scratchFolder,
    concurrency: 1,
    ...(fromSource
      ? {
          child: {
            script: fileURLToPath(
              new URL('../../../libs/imaging/src/decode-child.ts', import.meta.url),
            ),
            execArgv: process.execArgv,
          },
        }
      : {}),
  });
  try {
    return await imaging.rgbPixels(path);
  } catch (cause) {
    if (cause instanceof ImagingError)
      throw new Refusal(`${path}: ${cause.message}`, undefined, { cause });
    if (isMissing(cause))
      throw new Refusal(`${path} cannot be read: check the name.`, undefined, { cause });
    throw cause;
  } finally {
    imaging.close();
    await rm(scratchFolder, { recursive: true, force: true });
  }
}

function isMissing(cause: unknown): boolean {
  return (
    cause instanceof Error &&
    'code' in cause &&
    (cause.code === 'ENOENT' || cause.code === 'EISDIR')
  );
}
