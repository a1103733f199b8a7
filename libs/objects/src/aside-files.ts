import { rename, stat, unlink, utimes } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { hexOf } from './digest.js';
import { isAbsent, makeFolder, sortedNames, syncFolder } from './durable-file.js';
import type { ListedObject } from './object-store.js';

export const OBJECT_FILE = /^[0-9a-f]{64}$/;

/** Objects that a sweep took out of the way, in `<root>/aside`; a file's time says since when. */
export class AsideFiles {
  private readonly folder: string;

  constructor(root: string) {
    this.folder = join(root, 'aside');
  }

  async take(digest: string, path: string): Promise<void> {
    try {
      const now = new Date();
      await utimes(path, now, now);
      await makeFolder(this.folder);
      await moveWhole(path, this.path(digest));
    } catch (error) {
      if (!isAbsent(error)) throw error;
    }
  }

  async giveBack(digest: string, path: string): Promise<boolean> {
    const aside = this.path(digest);
    try {
      await stat(aside);
      await makeFolder(dirname(path));
      await moveWhole(aside, path);
      return true;
    } catch (error) {
      if (isAbsent(error)) return false;
      throw error;
    }
  }

  async *list(): AsyncGenerator<ListedObject> {
    for (const hex of await sortedNames(this.folder, OBJECT_FILE)) {
      const found = await stat(join(this.folder, hex)).catch(() => undefined);
      if (found === undefined) continue; // put back while we listed
      yield { digest: `sha256:${hex}`, sizeBytes: found.size, storedAt: found.mtime };
    }
  }

  async discard(digest: string): Promise<void> {
    try {
      await unlink(this.path(digest));
      await syncFolder(this.folder);
    } catch (error) {
      if (!isAbsent(error)) throw error;
    }
  }

  private path(digest: string): string {
    return join(this.folder, hexOf(digest));
  }
}

async function moveWhole(from: string, to: string): Promise<void> {
  await rename(from, to);
  await syncFolder(dirname(to));
  await syncFolder(dirname(from));
}
