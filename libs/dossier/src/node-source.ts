/** A dossier on this machine's disk: a zip file or an unpacked folder. */

import { createReadStream } from 'node:fs';
import { type FileHandle, lstat, open, readdir, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { comparePaths } from './bag-path.js';
import { type DossierSource, type SourceFile, zipSource } from './source.js';
import type { RandomAccess } from './zip-reader.js';

export interface OpenSource {
  source: DossierSource;
  close(): Promise<void>;
}

/** @throws ZipError, or the file system's error */
export async function openSource(path: string): Promise<OpenSource> {
  if ((await stat(path)).isDirectory()) {
    return { source: await folderSource(path), close: () => Promise.resolve() };
  }
  const handle = await open(path);
  try {
    return { source: await zipSource(await randomAccess(handle)), close: () => handle.close() };
  } catch (cause) {
    await handle.close();
    throw cause;
  }
}

async function randomAccess(handle: FileHandle): Promise<RandomAccess> {
  const { size } = await handle.stat();
  return {
    sizeBytes: size,
    async read(start, length) {
      const bytes = new Uint8Array(length);
      let at = 0;
      while (at < length) {
        const { bytesRead } = await handle.read(bytes, at, length - at, start + at);
        if (bytesRead === 0) throw new Error(`the file ends before byte ${start + length}`);
        at += bytesRead;
      }
      return bytes;
    },
  };
}

async function folderSource(folder: string): Promise<DossierSource> {
  const files: SourceFile[] = [];
  const problems: string[] = [];
  const names = (await readdir(folder, { recursive: true })).sort(comparePaths);
  for (const name of names) {
    const path = join(folder, name);
    const found = await lstat(path);
    if (found.isDirectory()) continue;
    const inBag = name.split(/[\\/]/).join('/');
    if (!found.isFile()) {
      problems.push(`${inBag} is a link or device, not a file`);
      continue;
    }
    files.push({ path: inBag, sizeBytes: found.size, open: () => createReadStream(path) });
  }
  return { files, problems };
}
