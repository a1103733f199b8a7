/** All that is reckoned over a file's bytes, in one pass; pure here, native in `node-digests.ts`. */

import { sha256, sha512 } from '@noble/hashes/sha2.js';
import { hexOf, sha256 as pureSha256, type Sha256 } from '#libs/ledger';

export interface FileDigests {
  sha256: string;
  sha512: string;
  /** CRC-32 as zip has it */
  crc32: number;
  sizeBytes: number;
}

export interface RunningDigests {
  update(chunk: Uint8Array): void;
  finish(): FileDigests;
}

/** Where digests come from: a browser's or Node's. */
export interface Hashing {
  start(): RunningDigests;
  sha256: Sha256;
}

export async function digestsOf(
  chunks: AsyncIterable<Uint8Array> | Iterable<Uint8Array>,
  hashing: Hashing,
): Promise<FileDigests> {
  const running = hashing.start();
  for await (const chunk of chunks) running.update(chunk);
  return running.finish();
}

export const pureHashing: Hashing = {
  sha256: pureSha256,
  start() {
    const [short, long] = [sha256.create(), sha512.create()];
    let crc = 0;
    let sizeBytes = 0;
    return {
      update(chunk) {
        short.update(chunk);
        long.update(chunk);
        crc = crc32(chunk, crc);
        sizeBytes += chunk.length;
      },
      finish: () => ({
        sha256: hexOf(short.digest()),
        sha512: hexOf(long.digest()),
        crc32: crc,
        sizeBytes,
      }),
    };
  },
};

let table: Uint32Array | undefined;

/** CRC-32 (ISO 3309, polynomial EDB88320), continued from `before`. */
export function crc32(bytes: Uint8Array, before = 0): number {
  table ??= Uint32Array.from({ length: 256 }, (_, byte) => {
    let value = byte;
    for (let bit = 0; bit < 8; bit++) value = value & 1 ? (value >>> 1) ^ 0xedb88320 : value >>> 1;
    return value;
  });
  let crc = ~before;
  for (const byte of bytes) crc = (crc >>> 8) ^ table[(crc ^ byte) & 0xff]!;
  return ~crc >>> 0;
}
