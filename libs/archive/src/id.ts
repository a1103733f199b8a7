import { createHash, randomBytes } from 'node:crypto';

/** UUID version 7 (RFC 9562 section 5.7): 48 bits of milliseconds, the rest random. */
export function uuidV7(now: number): string {
  const bytes = random16();
  bytes.writeUIntBE(now, 0, 6);
  return written(bytes, 7);
}

// Asking for 16 random bytes costs as much as asking for thousands.
let pool = Buffer.alloc(0);

/** Sixteen random bytes, each given once. */
export function random16(): Buffer {
  if (pool.length < 16) pool = randomBytes(4096);
  const taken = pool.subarray(0, 16);
  pool = pool.subarray(16);
  return taken;
}

/**
 * UUID version 8 (RFC 9562 section 5.8) of a name: the first 128 bits of its SHA-256. A panel keeps
 * its id when its window is drawn anew, a piece when its drawing is revised.
 */
export function uuidOfName(...name: string[]): string {
  return written(createHash('sha256').update(name.join('\n')).digest().subarray(0, 16), 8);
}

/** Who acts where no person does: the program itself. */
export const PROGRAM_ACTOR = uuidOfName('mullion', 'program');

function written(bytes: Buffer, version: 7 | 8): string {
  bytes[6] = (bytes[6]! & 0x0f) | (version << 4);
  bytes[8] = (bytes[8]! & 0x3f) | 0x80;
  const hex = bytes.toString('hex');
  return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-${hex.slice(12, 16)}-${hex.slice(16, 20)}-${hex.slice(20)}`;
}
