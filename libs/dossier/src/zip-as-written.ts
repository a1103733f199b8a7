/**
 * Whether a zip file is, byte for byte, as the writer lays it out. Dates, attributes and the like carry
 * nothing of the dossier, so a file that was packed again is no altered one; but it is told.
 */

import type { RandomAccess, ZipFileMember } from './zip-reader.js';
import { ZipLayout } from './zip-writer.js';

/** More members than this that differ: it was packed again by another program. */
const NAMED_MAX = 3;
const DIRECTORY_ENTRY_BYTES = 46;

/** @returns remarks in words; empty for a file as it was written */
export async function containerRemarks(
  file: RandomAccess,
  members: readonly ZipFileMember[],
): Promise<string[]> {
  const again =
    'the zip file was packed again by another program; what lies in it is checked all the same';
  const differ = new Set<string>();
  const layout = new ZipLayout();
  let at = 0;
  for (const member of [...members].sort((a, b) => a.offset - b.offset)) {
    if (member.sizeBytes !== member.packedBytes || member.offset !== at) return [again];
    const header = layout.header(member);
    at += header.length + member.sizeBytes;
    if (at > file.sizeBytes) return [again];
    if (!(await isThere(file, member.offset, header))) differ.add(member.name);
    if (differ.size > NAMED_MAX) return [again];
  }
  const end = layout.end();
  if (at + end.length !== file.sizeBytes) return [again];
  const found = await file.read(at, end.length);
  for (const place of end.keys()) {
    if (end[place] !== found[place]) differ.add(directoryMember(end, place) ?? 'its end');
    if (differ.size > NAMED_MAX) return [again];
  }
  return [...differ].map(
    (name) =>
      `the zip file's own notes on ${name} are not as they were written: a bit of the container changed, or it was packed again; what lies in it is checked all the same`,
  );
}

async function isThere(file: RandomAccess, at: number, bytes: Uint8Array): Promise<boolean> {
  const found = await file.read(at, bytes.length);
  return bytes.every((byte, i) => byte === found[i]);
}

/** The member whose entry in the directory holds this byte; undefined behind the last. */
function directoryMember(directory: Uint8Array, place: number): string | undefined {
  const view = new DataView(directory.buffer, directory.byteOffset, directory.byteLength);
  for (let at = 0; at + DIRECTORY_ENTRY_BYTES <= directory.length; ) {
    if (view.getUint32(at, true) !== 0x02014b50) return undefined;
    const nameBytes = view.getUint16(at + 28, true);
    const next = at + DIRECTORY_ENTRY_BYTES + nameBytes + view.getUint16(at + 30, true);
    if (place < next) {
      const name = directory.subarray(
        at + DIRECTORY_ENTRY_BYTES,
        at + DIRECTORY_ENTRY_BYTES + nameBytes,
      );
      return new TextDecoder().decode(name);
    }
    at = next;
  }
  return undefined;
}
