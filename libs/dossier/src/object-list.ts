/** `data/objects.json`: every object that the entries name, and whether its bytes are here. */

import { canonicalBytes } from '#libs/ledger';
import { comparePaths } from './bag-path.js';

export type ObjectState = 'present' | 'listed-only' | 'withdrawn';

export interface ListedObject {
  /** `sha256:` and 64 hexadecimal digits */
  digest: string;
  sizeBytes: number;
  role: string;
  state: ObjectState;
  /** path in the bag, for a present one */
  path?: string;
  /** why it was withdrawn or is only listed */
  reason?: string;
}

export function objectListBytes(objects: readonly ListedObject[]): Uint8Array {
  const sorted = [...objects].sort((a, b) => comparePaths(a.digest, b.digest));
  return canonicalBytes({ v: 1, objects: sorted });
}

/** @returns a sentence instead of the list when the file is not as the format says */
export function parseObjectList(text: string): ListedObject[] | string {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    return 'it is no JSON';
  }
  if (!isRecord(value) || value['v'] !== 1 || !Array.isArray(value['objects'])) {
    return 'it is no list of objects, version 1';
  }
  const objects: ListedObject[] = [];
  const seen = new Set<string>();
  for (const [at, object] of (value['objects'] as unknown[]).entries()) {
    if (!isListed(object)) return `object ${at} lacks digest, size, role, state or path`;
    if (seen.has(object.digest)) return `${object.digest} is listed twice`;
    seen.add(object.digest);
    objects.push(object);
  }
  return objects;
}

function isListed(value: unknown): value is ListedObject {
  if (!isRecord(value)) return false;
  const { digest, sizeBytes, role, state, path, reason } = value;
  return (
    typeof digest === 'string' &&
    /^sha256:[0-9a-f]{64}$/.test(digest) &&
    Number.isSafeInteger(sizeBytes) &&
    typeof role === 'string' &&
    (state === 'present' ? typeof path === 'string' : path === undefined) &&
    (state === 'present' || state === 'listed-only' || state === 'withdrawn') &&
    (reason === undefined || typeof reason === 'string')
  );
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
