/** Files picked in a browser as the source of a dossier. */

import type { DossierSource } from '../source.js';
import type { RandomAccess } from '../zip-reader.js';

/** What is used of a browser's File. */
export interface PickedFile {
  size: number;
  name: string;
  webkitRelativePath?: string;
  slice(start: number, end: number): { arrayBuffer(): Promise<ArrayBuffer> };
}

const CHUNK_BYTES = 1 << 20;

export function blobAccess(file: Pick<PickedFile, 'size' | 'slice'>): RandomAccess {
  return {
    sizeBytes: file.size,
    async read(start, length) {
      const bytes = new Uint8Array(await file.slice(start, start + length).arrayBuffer());
      if (bytes.length !== length) throw new Error(`the file ends before byte ${start + length}`);
      return bytes;
    },
  };
}

export function folderSource(files: readonly PickedFile[]): DossierSource {
  return {
    problems: [],
    files: files.map((file) => ({
      path: file.webkitRelativePath ?? file.name,
      sizeBytes: file.size,
      open: () => chunksOf(file),
    })),
  };
}

async function* chunksOf(file: PickedFile): AsyncGenerator<Uint8Array> {
  const access = blobAccess(file);
  for (let at = 0; at < file.size; at += CHUNK_BYTES)
    yield await access.read(at, Math.min(CHUNK_BYTES, file.size - at));
}
