import { randomUUID } from 'node:crypto';
import { createReadStream } from 'node:fs';
import {
  access,
  chmod,
  copyFile,
  link,
  mkdir,
  open,
  readdir,
  rename,
  rm,
  stat,
  unlink,
} from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { Readable } from 'node:stream';
import { checkedStream, exactStream } from './checked-read.js';
import { checkDigest, checkRange, hexOf } from './digest.js';
import {
  codeOf,
  diskFault,
  isAbsent,
  makeFolder,
  syncFile,
  syncFolder,
  writeHashed,
} from './durable-file.js';
import { NamedFiles } from './named-files.js';
import {
  type ByteRange,
  type ByteSource,
  type ListedObject,
  type NamedOptions,
  type ObjectStore,
  ObjectStoreError,
  type PutOptions,
  type StoredBytes,
} from './object-store.js';

/** Another file system, or one without links. */
const NO_LINK = ['EXDEV', 'EPERM', 'ENOTSUP', 'ENOSYS', 'EMLINK'];

const STALE_MS = 24 * 60 * 60 * 1000;
const FOLDER_NAME = /^[0-9a-f]{2}$/;
const FILE_NAME = /^[0-9a-f]{64}$/;

/**
 * Objects as read-only files: `<root>/sha256/ab/cd/abcd…`. A write goes to `<root>/incoming`, is
 * flushed, renamed, and the folder's entry is flushed too; only then is it acknowledged. So a file
 * under its digest is always whole.
 *
 * A folder cannot keep anybody who may write to it from removing a file: retention of objects is a
 * matter of S3, that of named texts is kept by this program alone.
 */
export class FileObjectStore implements ObjectStore {
  private readonly incoming: string;
  private readonly named: NamedFiles;

  private constructor(private readonly root: string) {
    this.incoming = join(root, 'incoming');
    this.named = new NamedFiles(root, this.incoming);
  }

  /** Makes the folders and drops what a crash more than a day ago left half-written. */
  static async open(root: string): Promise<FileObjectStore> {
    try {
      const incoming = join(root, 'incoming');
      await mkdir(incoming, { recursive: true, mode: 0o700 });
      await mkdir(join(root, 'sha256'), { recursive: true, mode: 0o700 });
      await mkdir(join(root, 'named'), { recursive: true, mode: 0o700 });
      for (const name of await readdir(incoming)) {
        const path = join(incoming, name);
        const { mtimeMs } = await stat(path).catch(() => ({ mtimeMs: Infinity }));
        if (Date.now() - mtimeMs > STALE_MS) await rm(path, { force: true });
      }
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
        await handle.chmod(0o444);
        await handle.sync();
        await handle.close();
        await this.publish(incoming, stored.digest);
        return stored;
      } catch (error) {
        await handle.close().catch(() => undefined); // closed already, or the first error counts
        await rm(incoming, { force: true });
        throw error;
      }
    });
  }

  async putFile(path: string, known: StoredBytes): Promise<StoredBytes> {
    hexOf(known.digest);
    const { size } = await stat(path);
    if (size !== known.sizeBytes) {
      throw new ObjectStoreError(
        'digest-mismatch',
        `${path} has ${size} bytes, announced were ${known.sizeBytes}`,
      );
    }
    return this.guarded(async () => {
      const incoming = this.incomingPath();
      try {
        await secondName(path, incoming);
        await chmod(incoming, 0o444);
        await syncFile(incoming);
        await this.publish(incoming, known.digest);
      } finally {
        // rename(2) leaves both names where they are one file already: a crash came after the store took it
        await rm(incoming, { force: true });
      }
      // the source goes last: a crash before this leaves two, never none
      await rm(path, { force: true });
      return { digest: known.digest, sizeBytes: size };
    });
  }

  async has(digest: string): Promise<boolean> {
    const path = this.path(digest);
    return access(path).then(
      () => true,
      (error: unknown) => {
        if (isAbsent(error)) return false;
        throw diskFault(error, this.root);
      },
    );
  }

  async sizeOf(digest: string): Promise<number> {
    return (await this.orMissing(digest, stat(this.path(digest)))).size;
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
    const handle = await this.orMissing(digest, open(this.path(digest), 'r'));
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
    for (const first of await this.sorted(top, FOLDER_NAME)) {
      if (first < from.slice(0, 2)) continue;
      for (const second of await this.sorted(join(top, first), FOLDER_NAME)) {
        if (first + second < from.slice(0, 4)) continue;
        for (const hex of await this.sorted(join(top, first, second), FILE_NAME)) {
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
      try {
        await unlink(path);
      } catch (error) {
        if (isAbsent(error)) return;
        throw error;
      }
      await syncFolder(dirname(path));
    });
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

  /** Takes the place of an object that is there: same name, same bytes, and what was damaged is whole again. */
  private async publish(incoming: string, digest: string): Promise<void> {
    const target = this.path(digest);
    await makeFolder(dirname(target));
    await rename(incoming, target);
    await syncFolder(dirname(target));
  }

  private async sorted(folder: string, wanted: RegExp): Promise<string[]> {
    const names = await readdir(folder).catch((error: unknown) => {
      if (isAbsent(error)) return [];
      throw diskFault(error, this.root);
    });
    return names.filter((name) => wanted.test(name)).sort();
  }

  private async guarded<T>(work: () => Promise<T>): Promise<T> {
    try {
      return await work();
    } catch (error) {
      throw diskFault(error, this.root);
    }
  }

  private async orMissing<T>(digest: string, found: Promise<T>): Promise<T> {
    return found.catch((error: unknown) => {
      if (!isAbsent(error)) throw diskFault(error, this.root);
      throw new ObjectStoreError('object-missing', `there is no object ${digest}`, {
        cause: error,
      });
    });
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
