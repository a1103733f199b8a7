/** Files and folders that are still there after a power cut. */
import { createHash } from 'node:crypto';
import { type FileHandle, mkdir, open, readdir, rm, stat } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { BlockWriter } from './block-writer.js';
import { type ByteSource, isFault, ObjectStoreError, type StoredBytes } from './object-store.js';

/** Hashes a body and writes it from the beginning of an empty file. */
export async function writeHashed(handle: FileHandle, source: ByteSource): Promise<StoredBytes> {
  const hash = createHash('sha256');
  const writer = new BlockWriter(handle, 0);
  let sizeBytes = 0;
  try {
    for await (const chunk of source instanceof Uint8Array ? [source] : source) {
      hash.update(chunk);
      sizeBytes += chunk.length;
      await writer.add(chunk);
    }
  } finally {
    await writer.end();
  }
  return { digest: `sha256:${hash.digest('hex')}`, sizeBytes };
}

export async function syncFile(path: string): Promise<void> {
  await withHandle(path, (handle) => handle.sync());
}

export async function syncFolder(path: string): Promise<void> {
  await withHandle(path, (handle) => handle.sync());
}

/** Makes a folder and all above it that are missing; each new one's own entry is flushed too. */
export async function makeFolder(folder: string): Promise<void> {
  const first = await mkdir(folder, { recursive: true, mode: 0o700 });
  if (first === undefined) return;
  for (let made = folder; made.length >= first.length; made = dirname(made)) {
    await syncFolder(dirname(made));
  }
}

/** Files of a folder last written before `before`; removed where that is asked. */
export async function staleFiles(
  folder: string,
  before: Date,
  { remove = false }: { remove?: boolean } = {},
): Promise<{ count: number; sizeBytes: number }> {
  let count = 0;
  let sizeBytes = 0;
  for (const name of await readdir(folder)) {
    const path = join(folder, name);
    const found = await stat(path).catch(() => undefined);
    if (found === undefined || !found.isFile() || found.mtime >= before) continue;
    if (remove) await rm(path, { force: true });
    count++;
    sizeBytes += found.size;
  }
  return { count, sizeBytes };
}

/** Names in a folder that fit, sorted; none when there is no such folder. */
export async function sortedNames(folder: string, wanted: RegExp): Promise<string[]> {
  const names = await readdir(folder).catch((error: unknown) => {
    if (isAbsent(error)) return [];
    throw diskFault(error, folder);
  });
  return names.filter((name) => wanted.test(name)).sort();
}

export function isAbsent(error: unknown): boolean {
  const code = codeOf(error);
  return code === 'ENOENT' || code === 'ENOTDIR';
}

export function codeOf(error: unknown): string | undefined {
  return (error as NodeJS.ErrnoException).code;
}

const FULL = new Set(['ENOSPC', 'EDQUOT', 'EFBIG']);
const UNAVAILABLE = new Set(['EIO', 'EROFS', 'ESTALE', 'ENODEV', 'ENXIO', 'EACCES', 'EPERM']);

/** Whether something failed for want of room: a store that is full, or any file of this machine. */
export function isDiskFull(error: unknown): boolean {
  // by its code: an error of another realm (a test runner's) is no instance of ours
  const code = (error as { code?: unknown } | null | undefined)?.code;
  return isFault(error, 'store-full') || (typeof code === 'string' && FULL.has(code));
}

/** What the system said, as the fault that a caller can act on; other errors pass unchanged. */
export function diskFault(error: unknown, root: string): unknown {
  const code = codeOf(error) ?? '';
  if (error instanceof ObjectStoreError) return error;
  if (FULL.has(code)) {
    return new ObjectStoreError(
      'store-full',
      `no space is left in ${root}: nothing was kept. Make room, then do it again.`,
      { cause: error },
    );
  }
  if (UNAVAILABLE.has(code)) {
    return new ObjectStoreError(
      'store-unavailable',
      `${root} cannot be used (${(error as Error).message}). See to the disk and the rights of the folder.`,
      { cause: error },
    );
  }
  return error;
}

async function withHandle(path: string, use: (handle: FileHandle) => Promise<void>): Promise<void> {
  // fsync needs no right to write; a file that is read-only already can be flushed as well
  const handle = await open(path, 'r');
  try {
    await use(handle);
  } finally {
    await handle.close();
  }
}
