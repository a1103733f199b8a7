import { createHash, randomUUID } from 'node:crypto';
import { createReadStream } from 'node:fs';
import {
  access,
  chmod,
  copyFile,
  type FileHandle,
  mkdir,
  open,
  readdir,
  readFile,
  rename,
  rm,
  stat,
  unlink,
} from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { Readable } from 'node:stream';
import { checkDigest, checkedKey, checkRange, hexOf } from './digest.js';
import {
  type ByteRange,
  type ByteSource,
  type ObjectStore,
  ObjectStoreError,
  type StoredBytes,
} from './object-store.js';

const STALE_MS = 24 * 60 * 60 * 1000;

/**
 * Objects as read-only files: `<root>/sha256/ab/cd/abcd…`. A write goes to `<root>/incoming`, is
 * flushed, renamed, and the folder's entry is flushed too; only then is it acknowledged. So a file
 * under its digest is always whole.
 */
export class FileObjectStore implements ObjectStore {
  private constructor(private readonly root: string) {}

  /** Makes the folders and drops what a crash more than a day ago left half-written. */
  static async open(root: string): Promise<FileObjectStore> {
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
    return new FileObjectStore(root);
  }

  path(digest: string): string {
    const hex = hexOf(digest);
    return join(this.root, 'sha256', hex.slice(0, 2), hex.slice(2, 4), hex);
  }

  async put(source: ByteSource, options?: { expectedDigest?: string }): Promise<StoredBytes> {
    const expected = options?.expectedDigest;
    if (expected !== undefined) hexOf(expected);
    const incoming = this.incomingPath();
    const handle = await open(incoming, 'wx', 0o600);
    try {
      const stored = await writeHashed(handle, source);
      checkDigest(expected, stored.digest);
      await handle.sync();
      await handle.close();
      await this.publish(incoming, stored.digest);
      return stored;
    } catch (error) {
      await handle.close().catch(() => undefined); // closed already, or the first error counts
      await rm(incoming, { force: true });
      throw error;
    }
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
    const incoming = this.incomingPath();
    try {
      await rename(path, incoming);
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EXDEV') throw error;
      await copyFile(path, incoming); // another file system: a move is a copy there
      await unlink(path);
    }
    await syncFile(incoming);
    await this.publish(incoming, known.digest);
    return { digest: known.digest, sizeBytes: size };
  }

  async has(digest: string): Promise<boolean> {
    return access(this.path(digest)).then(
      () => true,
      (error: unknown) => {
        if (isAbsent(error)) return false;
        throw error;
      },
    );
  }

  async sizeOf(digest: string): Promise<number> {
    return (await this.orMissing(digest, stat(this.path(digest)))).size;
  }

  async read(digest: string, range?: ByteRange): Promise<Readable> {
    const size = await this.sizeOf(digest);
    if (range === undefined) {
      return size === 0 ? Readable.from([]) : createReadStream(this.path(digest));
    }
    checkRange(digest, range, size);
    return createReadStream(this.path(digest), { start: range.start, end: range.end - 1 });
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
        if (bytesRead === 0) throw new Error(`${digest} became shorter while it was read`);
        filled += bytesRead;
      }
      return bytes;
    } finally {
      await handle.close();
    }
  }

  async putNamed(key: string, bytes: Uint8Array): Promise<void> {
    const target = join(this.root, 'named', checkedKey(key));
    const incoming = this.incomingPath();
    const handle = await open(incoming, 'wx', 0o600);
    try {
      await handle.writeFile(bytes);
      await handle.sync();
    } finally {
      await handle.close();
    }
    await this.makeFolder(dirname(target));
    await rename(incoming, target);
    await syncFolder(dirname(target));
  }

  async readNamed(key: string): Promise<Uint8Array | undefined> {
    return readFile(join(this.root, 'named', checkedKey(key))).catch((error: unknown) => {
      if (isAbsent(error)) return undefined;
      throw error;
    });
  }

  private incomingPath(): string {
    return join(this.root, 'incoming', randomUUID());
  }

  /** An object that is there already is kept (same name, same bytes); its entry is flushed too. */
  private async publish(incoming: string, digest: string): Promise<void> {
    const target = this.path(digest);
    await chmod(incoming, 0o444);
    await this.makeFolder(dirname(target));
    if (await this.has(digest)) await unlink(incoming);
    else await rename(incoming, target);
    await syncFolder(dirname(target));
  }

  private async makeFolder(folder: string): Promise<void> {
    const first = await mkdir(folder, { recursive: true, mode: 0o700 });
    if (first === undefined) return;
    // each new folder's own entry must survive as well
    for (let made = folder; made.length >= first.length; made = dirname(made)) {
      await syncFolder(dirname(made));
    }
  }

  private async orMissing<T>(digest: string, found: Promise<T>): Promise<T> {
    return found.catch((error: unknown) => {
      if (!isAbsent(error)) throw error;
      throw new ObjectStoreError('object-missing', `there is no object ${digest}`, {
        cause: error,
      });
    });
  }
}

/** Hashes each chunk while the one before it is on its way to the disk. */
async function writeHashed(handle: FileHandle, source: ByteSource): Promise<StoredBytes> {
  const hash = createHash('sha256');
  let sizeBytes = 0;
  let writing: Promise<void> = Promise.resolve();
  try {
    for await (const chunk of source instanceof Uint8Array ? [source] : source) {
      hash.update(chunk);
      await writing;
      writing = writeAll(handle, chunk, sizeBytes);
      writing.catch(() => undefined); // reported by the await above or below
      sizeBytes += chunk.length;
    }
  } finally {
    await writing;
  }
  return { digest: `sha256:${hash.digest('hex')}`, sizeBytes };
}

async function writeAll(handle: FileHandle, chunk: Uint8Array, position: number): Promise<void> {
  let written = 0;
  while (written < chunk.length) {
    const { bytesWritten } = await handle.write(
      chunk,
      written,
      chunk.length - written,
      position + written,
    );
    written += bytesWritten;
  }
}

async function syncFile(path: string): Promise<void> {
  const handle = await open(path, 'r+');
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
}

async function syncFolder(path: string): Promise<void> {
  const handle = await open(path, 'r');
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
}

function isAbsent(error: unknown): boolean {
  const { code } = error as NodeJS.ErrnoException;
  return code === 'ENOENT' || code === 'ENOTDIR';
}
