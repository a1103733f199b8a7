import { hash } from 'node:crypto';
import { ObjectStoreError } from './object-store.js';

const DIGEST = /^sha256:[0-9a-f]{64}$/;

export function isDigest(text: string): boolean {
  return DIGEST.test(text);
}

/** SHA-256 of bytes in memory, as `sha256:<hex>`. */
export function digestOf(bytes: Uint8Array): string {
  return `sha256:${hash('sha256', bytes, 'hex')}`;
}

/** The 64 hex digits of a digest. */
export function hexOf(digest: string): string {
  if (!isDigest(digest)) {
    throw new ObjectStoreError(
      'digest-invalid',
      `expected sha256: and 64 lower-case hex digits, got ${JSON.stringify(digest)}`,
    );
  }
  return digest.slice('sha256:'.length);
}

const KEY_PART = /^[A-Za-z0-9][A-Za-z0-9._+-]*$/;

/** Where the objects themselves lie: no named text begins like that. */
export const OBJECT_FOLDERS: readonly string[] = ['sha256', 'aside'];

/**
 * Keys of named texts stay inside the store: plain parts joined by `/`, none starting with a dot, the
 * first none of {@link OBJECT_FOLDERS}.
 */
export function checkedKey(key: string): string {
  const parts = key.split('/');
  if (!parts.every((part) => KEY_PART.test(part)) || OBJECT_FOLDERS.includes(parts[0]!)) {
    throw new ObjectStoreError(
      'key-invalid',
      `expected plain parts joined by "/", none of the store's own, got ${JSON.stringify(key)}`,
    );
  }
  return key;
}

export function checkDigest(expected: string | undefined, found: string): void {
  if (expected !== undefined && expected !== found) {
    throw new ObjectStoreError(
      'digest-mismatch',
      `the bytes have digest ${found}, announced was ${expected}`,
    );
  }
}

export function checkRange(digest: string, { start, end }: ByteRangeLike, sizeBytes: number): void {
  const isInside = Number.isSafeInteger(start) && Number.isSafeInteger(end) && start >= 0;
  if (!isInside || end <= start || end > sizeBytes) {
    throw new ObjectStoreError(
      'range-outside',
      `bytes ${start} to ${end} are not inside ${digest}, which has ${sizeBytes}`,
    );
  }
}

interface ByteRangeLike {
  start: number;
  end: number;
}
