import { mkdir } from 'node:fs/promises';
import { dirname } from 'node:path';
import { codeOf, syncFolder } from './durable-file.js';

/** Folders remembered; then it begins to ask the disk anew. */
const REMEMBERED = 10_000;

/**
 * Folders below a root that are known to be there after a power cut. Whoever needs one waits for
 * whoever is just making it or one above it: an object in a folder that is lost is lost with it.
 */
export class DurableFolders {
  readonly #known = new Map<string, Promise<void>>();

  /** @param root folder that is there */
  constructor(private readonly root: string) {}

  /** Makes the folder and all between it and the root; each one's own entry is flushed. */
  async make(folder: string): Promise<void> {
    if (folder === this.root) return;
    let making = this.#known.get(folder);
    if (making === undefined) {
      if (this.#known.size >= REMEMBERED) this.#known.clear();
      making = this.#make(folder);
      this.#known.set(folder, making);
      making.catch(() => this.#known.delete(folder));
    }
    await making;
  }

  /** Somebody removed folders behind our back. */
  forget(): void {
    this.#known.clear();
  }

  async #make(folder: string): Promise<void> {
    const parent = dirname(folder);
    await mkdir(folder, { mode: 0o700 }).catch(async (error: unknown) => {
      if (codeOf(error) === 'EEXIST') return;
      if (codeOf(error) !== 'ENOENT') throw error;
      await mkdir(folder, { recursive: true, mode: 0o700 });
    });
    await Promise.all([this.make(parent), syncFolder(parent)]);
  }
}
