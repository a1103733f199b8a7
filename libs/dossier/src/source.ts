/** Where a dossier is read from: a folder, a zip file, a browser's list of files. */

import { digestsOf, type FileDigests, type Hashing } from './digests.js';
import { containerRemarks } from './zip-as-written.js';
import { type RandomAccess, readZipDirectory, readZipMember } from './zip-reader.js';

export interface SourceFile {
  /** as the container has it, not yet judged */
  path: string;
  sizeBytes: number;
  open(): AsyncIterable<Uint8Array>;
  /** the container's own check sum, where it has one */
  crc32?: number;
}

export interface DossierSource {
  files: readonly SourceFile[];
  /** what is wrong with the container itself, in words */
  problems: readonly string[];
  /** what should be known of the container that is no fault of what lies in it */
  remarks?: readonly string[];
}

/** A file that may be read to its end in one piece. */
export async function readWhole(file: SourceFile, mostBytes: number): Promise<Uint8Array> {
  if (file.sizeBytes > mostBytes) {
    throw new Error(`${file.path} has ${file.sizeBytes} bytes; expected at most ${mostBytes}`);
  }
  const whole = new Uint8Array(file.sizeBytes);
  let at = 0;
  for await (const chunk of file.open()) {
    if (at + chunk.length > whole.length) throw new Error(`${file.path} is longer than it claims`);
    whole.set(chunk, at);
    at += chunk.length;
  }
  return whole.subarray(0, at);
}

export function digestFile(file: SourceFile, hashing: Hashing): Promise<FileDigests> {
  return digestsOf(file.open(), hashing);
}

/** @throws ZipError when the file is no readable zip file */
export async function zipSource(file: RandomAccess): Promise<DossierSource> {
  const members = await readZipDirectory(file);
  return {
    problems: overlaps(members),
    remarks: await containerRemarks(file, members),
    files: members
      .filter((member) => !member.name.endsWith('/') || member.sizeBytes > 0)
      .map((member) => ({
        path: member.name,
        sizeBytes: member.sizeBytes,
        crc32: member.crc32,
        open: () => readZipMember(file, member),
      })),
  };
}

/** Members that share bytes: how a small file is made to unpack without end. */
function overlaps(
  members: readonly { name: string; offset: number; packedBytes: number }[],
): string[] {
  const sorted = [...members].sort((a, b) => a.offset - b.offset);
  return sorted.flatMap((member, at) => {
    const next = sorted[at + 1];
    const isOver = next !== undefined && member.offset + 30 + member.packedBytes > next.offset;
    return isOver ? [`${member.name} and ${next.name} lie over each other in the zip file`] : [];
  });
}
