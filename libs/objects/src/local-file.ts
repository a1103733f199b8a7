import { randomUUID } from 'node:crypto';
import { createWriteStream } from 'node:fs';
import { rm } from 'node:fs/promises';
import { join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import type { ObjectStore } from './object-store.js';

/**
 * Gives `use` the path of a file that holds the object: the stored one where there is one on this
 * machine (never to be written), else a copy that is removed afterwards.
 *
 * @param scratchFolder private folder for such copies
 * @throws {ObjectStoreError} `object-missing`
 */
export async function withLocalFile<T>(
  objects: ObjectStore,
  digest: string,
  scratchFolder: string,
  use: (path: string) => Promise<T>,
): Promise<T> {
  if (objects.path !== undefined) {
    await objects.sizeOf(digest);
    return use(objects.path(digest));
  }
  const path = join(scratchFolder, randomUUID());
  try {
    const source = await objects.read(digest);
    await pipeline(source, createWriteStream(path, { flags: 'wx', mode: 0o600 }));
    return await use(path);
  } finally {
    await rm(path, { force: true });
  }
}
