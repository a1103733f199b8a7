import { createHash, hash } from 'node:crypto';
import { crc32 } from 'node:zlib';
import type { Sha256 } from '#libs/ledger';
import type { Hashing } from './digests.js';

/** Node's own SHA-256, for `libs/ledger`. */
export const nodeSha256: Sha256 = (bytes) => hash('sha256', bytes, 'buffer');

export const nodeHashing: Hashing = {
  sha256: nodeSha256,
  start() {
    const [short, long] = [createHash('sha256'), createHash('sha512')];
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
        sha256: short.digest('hex'),
        sha512: long.digest('hex'),
        crc32: crc,
        sizeBytes,
      }),
    };
  },
};
