import { hash, randomUUID } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { chmod, copyFile, link, mkdir, open, rename, rm, stat, unlink } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { Readable } from 'node:stream';
import { AsideFiles, OBJECT_FILE } from './aside-files.js';
import { checkedStream, exactStream, isWhole } from './checked-read.js';
import { checkDigest, checkRange, hexOf } from './digest.js';
import {
  codeOf,
  diskFault,
  isAbsent,
  sortedNames,
  staleFiles,
  syncFile,
  syncFolder,
  writeHashed,
} from './durable-file.js';
import { DurableFolders } from './durable-folders.js';
import { NamedFiles } from './named-files.js';
import {
  type ByteRange,
  type ByteSource,
  isFault,
  type Leftover,
  type ListedObject,
  type NamedOptions,
  ObjectStoreError,
  type PutOptions,
  type StoredBytes,
  type TakeOptions,
  type TendedStore,
} from './object-store.js';

/** Another file system, or one without links. */
const NO_LINK = ['EXDEV', 'EPERM', 'ENOTSUP', 'ENOSYS', 'EMLINK'];

const READ_ONLY = 0o444;
const STALE_MS = 24 * 60 * 60 * 1000;
const FOLDER_NAME = /^[0-9a-f]{2}$/;

/**
 * Objects as read-only files: `<root>/sha256/ab/cd/abcd…`. A write goes to `<root>/incoming`, is
 * flushed, renamed, and the folder's entry is flushed too; only then is it acknowledged. So a file
 * under its digest is always whole.
 *
 * A folder cannot keep anybody who may write to it from removing a file: retention of objects is a
 * matter of S3, that of named texts is kept by this program alone.
 */
export class FileObjectStore implements TendedStore {
  private readonly incoming: string;
  private readonly aside: AsideFiles;
  private readonly named: NamedFiles;
  private readonly folders: DurableFolders;

  private constructor(private readonly root: string) {
    this.incoming = join(root, 'incoming');
    this.aside = new AsideFiles(root);
    this.named = new NamedFiles(root, this.incoming);
    this.folders = new DurableFolders(root);
  }

  /** Makes the folders and drops what a crash more than a day ago left half-written. */
  static async open(root: string): Promise<FileObjectStore> {
    try {
      const incoming = join(root, 'incoming');
      await mkdir(incoming, { recursive: true, mode: 0o700 });
      await mkdir(join(root, 'sha256'), { recursive: true, mode: 0o700 });
      await mkdir(join(root, 'named'), { recursive: true, mode: 0o700 });
      await staleFiles(incoming, new Date(Date.now() - STALE_MS), { remove: true });
      await syncFolder(root);
    } catch (error) {
      throw diskFault(error, root);
    }
    return new FileObjectStore(root);
  }

  path(digest: string): string {
    const hex = hexOf(digest);
    return join(this.root, 'sha256', hex.slice(0, 2), hex.slice(2, 4), hex);
  }

  async put(source: ByteSource, options?: PutOptions): Promise<StoredBytes> {
    const expected = options?.expectedDigest;
    if (expected !== undefined) hexOf(expected);
    const incoming = this.incomingPath();
    return this.guarded(async () => {
      const handle = await open(incoming, 'wx', 0o600);
      try {
        const stored = await writeHashed(handle, source);
        checkDigest(expected, stored.digest);
        await handle.chmod(READ_ONLY);
        await this.publish(stored.digest, handle.sync(), (target) => rename(incoming, target));
        await handle.close();
        return stored;
      } catch (error) {
        await handle.close().catch(() => undefined); // closed already, or the first error counts
        await rm(incoming, { force: true });
        throw error;
      }
    });
  }

  async putFile(path: string, known: StoredBytes, options?: TakeOptions): Promise<StoredBytes> {
    const { digest, sizeBytes } = known;
    hexOf(digest);
    return this.guarded(async () => {
      const { size, mode } = await stat(path);
      if (size !== sizeBytes) {
        throw new ObjectStoreError(
          'digest-mismatch',
          `${path} has ${size} bytes, announced were ${sizeBytes}`,
        );
      }
      if ((mode & 0o777) !== READ_ONLY) await chmod(path, READ_ONLY);
      const flushed = options?.flushed ?? syncFile(path);
      await this.publish(digest, flushed, (target) => this.name(path, target));
      // the source goes last: a crash before this leaves two, never none
      if (options?.keepsSource !== true) await unlink(path);
      return { digest, sizeBytes };
    });
  }

  async has(digest: string): Promise<boolean> {
    try {
      await this.sizeOf(digest);
      return true;
    } catch (error) {
      if (isFault(error, 'object-missing')) return false;
      throw error;
    }
  }

  async sizeOf(digest: string): Promise<number> {
    const path = this.path(digest);
    return (await this.orMissing(digest, () => stat(path))).size;
  }

  async read(digest: string, range?: ByteRange): Promise<Readable> {
    const size = await this.sizeOf(digest);
    if (range === undefined) {
      const source = size === 0 ? Readable.from([]) : createReadStream(this.path(digest));
      return checkedStream(digest, source);
    }
    checkRange(digest, range, size);
    const { start, end } = range;
    const source = createReadStream(this.path(digest), { start, end: end - 1 });
    return exactStream(digest, source, end - start);
  }

  async readRange(digest: string, start: number, end: number): Promise<Uint8Array> {
    const handle = await this.orMissing(digest, () => open(this.path(digest), 'r'));
    try {
      checkRange(digest, { start, end }, (await handle.stat()).size);
      const bytes = Buffer.allocUnsafe(end - start);
      let filled = 0;
      while (filled < bytes.length) {
        const { bytesRead } = await handle.read(
          bytes,
          filled,
          bytes.length - filled,
          start + filled,
        );
        if (bytesRead === 0) {
          throw new ObjectStoreError(
            'object-damaged',
            `${digest} became shorter while it was read`,
          );
        }
        filled += bytesRead;
      }
      return bytes;
    } catch (error) {
      throw diskFault(error, this.root);
    } finally {
      await handle.close();
    }
  }

  async *list(after?: string): AsyncGenerator<ListedObject> {
    const from = after === undefined ? '' : hexOf(after);
    const top = join(this.root, 'sha256');
    for (const first of await sortedNames(top, FOLDER_NAME)) {
      if (first < from.slice(0, 2)) continue;
      for (const second of await sortedNames(join(top, first), FOLDER_NAME)) {
        if (first + second < from.slice(0, 4)) continue;
        for (const hex of await sortedNames(join(top, first, second), OBJECT_FILE)) {
          if (hex <= from) continue;
          const found = await stat(join(top, first, second, hex)).catch(() => undefined);
          if (found === undefined) continue; // removed while we listed
          yield { digest: `sha256:${hex}`, sizeBytes: found.size, storedAt: found.mtime };
        }
      }
    }
  }

  remove(digest: string): Promise<void> {
    return this.destroy(digest);
  }

  async destroy(digest: string): Promise<void> {
    const path = this.path(digest);
    await this.guarded(async () => {
      await this.aside.discard(digest);
      try {
        await unlink(path);
      } catch (error) {
        if (isAbsent(error)) return;
        throw error;
      }
      await syncFolder(dirname(path));
    });
  }

  setAside(digest: string): Promise<void> {
    return this.guarded(() => this.aside.take(digest, this.path(digest)));
  }

  listAside(): AsyncIterable<ListedObject> {
    return this.aside.list();
  }

  putBack(digest: string): Promise<boolean> {
    return this.guarded(() => this.aside.giveBack(digest, this.path(digest)));
  }

  discard(digest: string): Promise<void> {
    return this.guarded(() => this.aside.discard(digest));
  }

  async mend(digest: string): Promise<boolean> {
    return (await this.putBack(digest)) && isWhole(await this.read(digest));
  }

  async leftovers(before: Date, options?: { remove?: boolean }): Promise<Leftover[]> {
    const found = await this.guarded(() => staleFiles(this.incoming, before, options));
    return found.count === 0 ? [] : [{ kind: 'half-written', ...found }];
  }

  putNamed(key: string, bytes: Uint8Array, options?: NamedOptions): Promise<void> {
    return this.guarded(() => this.named.put(key, bytes, options));
  }

  readNamed(key: string): Promise<Uint8Array | undefined> {
    return this.guarded(() => this.named.read(key));
  }

  listNamed(prefix: string): AsyncIterable<string> {
    return this.named.list(prefix);
  }

  removeNamed(key: string): Promise<void> {
    return this.guarded(() => this.named.remove(key));
  }

  private incomingPath(): string {
    return join(this.incoming, randomUUID());
  }

  /**
   * Gives flushed bytes their name; it is durable when this resolves. Where an object is already, the
   * name changes over to these bytes: they are the same, and what was damaged is whole again.
   */
  private async publish(
    digest: string,
    flushed: Promise<void>,
    name: (target: string) => Promise<void>,
  ): Promise<void> {
    const target = this.path(digest);
    const folder = dirname(target);
    const ready = await Promise.allSettled([flushed, this.folders.make(folder)]);
    for (const each of ready) if (each.status === 'rejected') throw each.reason;
    await name(target).catch(async (error: unknown) => {
      if (!isAbsent(error)) throw error;
      this.folders.forget();
      await this.folders.make(folder);
      await name(target);
    });
    await syncFolder(folder);
  }

  /** A second name for a file of this machine, or a copy where the file system takes none. */
  private async name(path: string, target: string): Promise<void> {
    try {
      await link(path, target);
      return;
    } catch (error) {
      if (!['EEXIST', ...NO_LINK].includes(codeOf(error) ?? '')) throw error;
    }
    // named after the source, so that taking it again after a kill leaves nothing of the first time
    const incoming = join(this.incoming, nameOf(path));
    await rm(incoming, { force: true });
    try {
      await secondName(path, incoming);
      await syncFile(incoming);
      await rename(incoming, target);
    } finally {
      // rename(2) leaves both names where they are one file already: a crash came after the store took it
      await rm(incoming, { force: true });
    }
  }

  private async guarded<T>(work: () => Promise<T>): Promise<T> {
    try {
      return await work();
    } catch (error) {
      throw diskFault(error, this.root);
    }
  }

  /** What was set aside is put back for whoever asks. */
  private async orMissing<T>(digest: string, find: () => Promise<T>): Promise<T> {
    try {
      try {
        return await find();
      } catch (error) {
        if (!isAbsent(error) || !(await this.putBack(digest))) throw error;
        return await find();
      }
    } catch (error) {
      if (!isAbsent(error)) throw diskFault(error, this.root);
      throw new ObjectStoreError('object-missing', `there is no object ${digest}`, {
        cause: error,
      });
    }
  }
}

/** The same bytes under a further name; copied where the file system takes no second name. */
async function secondName(path: string, name: string): Promise<void> {
  try {
    await link(path, name);
  } catch (error) {
    if (!NO_LINK.includes(codeOf(error) ?? '')) throw error;
    await copyFile(path, name);
  }
}

function nameOf(path: string): string {
  return hash('sha256', path, 'hex').slice(0, 32);
}
