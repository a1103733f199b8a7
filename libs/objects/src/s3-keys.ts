/** Keys of objects in a bucket: `sha256/ab/abcd…`, and `aside/ab/abcd…` for those set aside. */
import { hexOf } from './digest.js';

export const OBJECTS = 'sha256/';
export const ASIDE = 'aside/';

export function keyOf(digest: string, folder = OBJECTS): string {
  const hex = hexOf(digest);
  return `${folder}${hex.slice(0, 2)}/${hex}`;
}

/** Undefined for a key that somebody else put there. */
export function digestOfKey(key: string): string | undefined {
  const hex = key.slice(key.lastIndexOf('/') + 1);
  return /^[0-9a-f]{64}$/.test(hex) ? `sha256:${hex}` : undefined;
}
