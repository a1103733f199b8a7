import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';

/** One name for a pasted row and where it goes: the archive takes a row once under it. */
export const rowKey = (row: unknown): string =>
  `past-${bytesToHex(sha256(utf8ToBytes(JSON.stringify(row)))).slice(0, 40)}`;
