import { randomUUID } from 'node:crypto';
import { open, readdir, readFile, rename, rm, unlink } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { checkedKey } from './digest.js';
import { isAbsent, makeFolder, syncFolder } from './durable-file.js';
import { type NamedOptions, ObjectStoreError } from './object-store.js';

/**
 * Named texts as files under `<root>/named`. How long one is retained stands beside it, as a date in
 * `<root>/kept-until`, written before the text: a crash between the two retains nothing that is not
 * there.
 */
export class NamedFiles {
  private readonly texts: string;
  private readonly dates: string;

  constructor(
    root: string,
    private readonly incoming: string,
  ) {
    this.texts = join(root, 'named');
    this.dates = join(root, 'kept-until');
  }

  async put(key: string, bytes: Uint8Array, options?: NamedOptions): Promise<void> {
    const target = join(this.texts, checkedKey(key));
    const standing = await this.read(key);
    const isSame = standing !== undefined && Buffer.compare(standing, bytes) === 0;
    const keptUntil = await this.keptUntil(key);
    if (standing !== undefined && !isSame) refuseRetained(key, keptUntil);
    const { retainUntil } = options ?? {};
    if (retainUntil !== undefined && retainUntil > keptUntil) {
      await this.write(
        join(this.dates, key),
        new TextEncoder().encode(`${retainUntil.toISOString()}\n`),
      );
    }
    await this.write(target, bytes);
  }

  async read(key: string): Promise<Uint8Array | undefined> {
    return readFile(join(this.texts, checkedKey(key))).catch((error: unknown) => {
      if (isAbsent(error) || (error as NodeJS.ErrnoException).code === 'EISDIR') return undefined;
      throw error;
    });
  }

  async *list(prefix: string): AsyncGenerator<string> {
    const slash = prefix.lastIndexOf('/');
    const folder = slash < 0 ? '' : checkedKey(prefix.slice(0, slash));
    yield* this.listFolder(folder, prefix);
  }

  async remove(key: string): Promise<void> {
    const target = join(this.texts, checkedKey(key));
    if ((await this.read(key)) === undefined) return;
    refuseRetained(key, await this.keptUntil(key));
    await unlink(target);
    await syncFolder(dirname(target));
    await rm(join(this.dates, key), { force: true });
  }

  private async *listFolder(folder: string, prefix: string): AsyncGenerator<string> {
    const found = await readdir(join(this.texts, folder), { withFileTypes: true }).catch(
      (error: unknown) => {
        if (isAbsent(error)) return [];
        throw error;
      },
    );
    for (const one of found.sort((a, b) => (a.name < b.name ? -1 : 1))) {
      const key = folder === '' ? one.name : `${folder}/${one.name}`;
      if (one.isDirectory()) {
        if (`${key}/`.startsWith(prefix) || prefix.startsWith(`${key}/`)) {
          yield* this.listFolder(key, prefix);
        }
      } else if (key.startsWith(prefix)) yield key;
    }
  }

  /** The past when nothing is retained. */
  private async keptUntil(key: string): Promise<Date> {
    const text = await readFile(join(this.dates, key), 'utf8').catch((error: unknown) => {
      if (isAbsent(error) || (error as NodeJS.ErrnoException).code === 'EISDIR') return '';
      throw error;
    });
    return text === '' ? new Date(0) : new Date(text.trim());
  }

  private async write(target: string, bytes: Uint8Array): Promise<void> {
    const incoming = join(this.incoming, randomUUID());
    try {
      const handle = await open(incoming, 'wx', 0o600);
      try {
        await handle.writeFile(bytes);
        await handle.sync();
      } finally {
        await handle.close();
      }
      await makeFolder(dirname(target));
      await rename(incoming, target);
      await syncFolder(dirname(target));
    } catch (error) {
      await rm(incoming, { force: true });
      throw error;
    }
  }
}

function refuseRetained(key: string, until: Date): void {
  if (until.getTime() <= Date.now()) return;
  throw new ObjectStoreError(
    'named-retained',
    `${key} is retained until ${until.toISOString()}: it can be neither replaced nor removed before`,
  );
}
