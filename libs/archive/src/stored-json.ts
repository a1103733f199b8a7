/** JSON kept as an object: nets, drawings, large geometry. */
import { text } from 'node:stream/consumers';
import { canonicalBytes } from '#libs/ledger';
import { type Net, netJson, readNet } from '#libs/net';
import type { ObjectStore } from '#libs/objects';
import type { ObjectRef } from './command.js';
import { plainJson } from './plain-json.js';

/** Above this a geometry is an object and the entry names its digest. */
export const INLINE_BYTES_MAX = 4096;

/** An entry names it, and nothing else could make it again. */
const ORIGINAL = { retain: 'original' } as const;

export async function putJson(
  objects: ObjectStore,
  value: unknown,
  role: string,
): Promise<ObjectRef> {
  return { ...(await objects.put(canonicalBytes(plainJson(value)), ORIGINAL)), role };
}

export async function getJson(objects: ObjectStore, digest: string): Promise<unknown> {
  return JSON.parse(await text(await objects.read(digest)));
}

export async function putNet(objects: ObjectStore, net: Net): Promise<ObjectRef> {
  const bytes = new TextEncoder().encode(netJson(net));
  return { ...(await objects.put(bytes, ORIGINAL)), role: 'net' };
}

export async function getNet(objects: ObjectStore, digest: string): Promise<Net> {
  return readNet(await text(await objects.read(digest)));
}

/** The value itself, or the object that it was put into when it is large. */
export async function inlineOrObject(
  objects: ObjectStore,
  value: unknown,
  role: string,
): Promise<{ inline: unknown; object: null } | { inline: null; object: ObjectRef }> {
  // RFC 8785 writes numbers and texts as JSON.stringify does; only the order of members is its own.
  return Buffer.byteLength(JSON.stringify(value)) <= INLINE_BYTES_MAX
    ? { inline: value, object: null }
    : { inline: null, object: await putJson(objects, value, role) };
}
