/** Reads a backup back, every byte of it, and names what is wrong. */
import { createHash } from 'node:crypto';
import { ObjectStoreError } from '#libs/objects';
import { readObjectList } from './backup-objects.js';
import type { BackupPlace } from './backup-place.js';
import { fullName } from './backup-tables.js';
import { BackupFault, type Manifest } from './manifest.js';

export interface VerifyReport {
  readonly generations: number;
  readonly objects: number;
  readonly bytes: number;
  /** sentences, each naming what is damaged and which generation it belongs to */
  readonly faults: readonly string[];
}

type Seen = Map<string, string | undefined>;

/**
 * Every generation, or the one given. An object that several share is read once.
 *
 * @param onStep objects read so far
 */
export async function verifyBackup(
  place: BackupPlace,
  { only, onStep = () => undefined }: { only?: string; onStep?: (objects: number) => void } = {},
): Promise<VerifyReport> {
  const all = await place.generations();
  const generations = only === undefined ? all : [only];
  const seen: Seen = new Map();
  const faults: string[] = [];
  let bytes = 0;
  const check = async (digest: string, sizeBytes: number | undefined, what: string) => {
    if (!seen.has(digest)) {
      const read = await readHashed(place, digest, sizeBytes);
      bytes += read.sizeBytes;
      seen.set(digest, read.fault);
      onStep(seen.size);
    }
    const fault = seen.get(digest);
    if (fault !== undefined) faults.push(`${digest} ${fault}: ${what}`);
  };
  for (const generation of generations) {
    try {
      const manifest = await place.manifest(generation);
      await verifyGeneration(place, manifest, generation === all[0], check);
    } catch (error) {
      if (!(error instanceof BackupFault)) throw error;
      faults.push(error.message);
    }
  }
  return { generations: generations.length, objects: seen.size, bytes, faults };
}

async function verifyGeneration(
  place: BackupPlace,
  manifest: Manifest,
  isNewest: boolean,
  check: (digest: string, sizeBytes: number | undefined, what: string) => Promise<void>,
): Promise<void> {
  const of = `of generation ${manifest.generation}`;
  for (const table of manifest.history) {
    for (const { digest, sizeBytes } of table.chunks) {
      await check(digest, sizeBytes, `rows of ${fullName(table)} ${of}`);
    }
  }
  for (const { digest, sizeBytes } of manifest.objects.lists) {
    await check(digest, sizeBytes, `the list of objects ${of}`);
  }
  // the sealed part of older generations was removed on purpose
  if (isNewest) {
    for (const digest of manifest.sealed.chunks) {
      await check(digest, undefined, `the sealed part ${of}`);
    }
  }
  // a copy of the database names the objects of the home it lies in
  if (manifest.scope === 'database') return;
  for (const { digest, sizeBytes } of await readObjectList(place, manifest.objects.lists)) {
    await check(digest, sizeBytes, `an object ${of}`);
  }
}

async function readHashed(
  place: BackupPlace,
  digest: string,
  expectedBytes: number | undefined,
): Promise<{ sizeBytes: number; fault?: string }> {
  const hash = createHash('sha256');
  let sizeBytes = 0;
  try {
    for await (const part of await place.store.read(digest)) {
      hash.update(part as Uint8Array);
      sizeBytes += (part as Uint8Array).length;
    }
  } catch (error) {
    if (!(error instanceof ObjectStoreError)) throw error;
    if (error.fault === 'object-missing') return { sizeBytes, fault: 'is missing' };
    if (error.fault === 'object-damaged') return { sizeBytes, fault: 'is damaged' };
    throw error;
  }
  const isWhole =
    `sha256:${hash.digest('hex')}` === digest &&
    (expectedBytes === undefined || expectedBytes === sizeBytes);
  return isWhole ? { sizeBytes } : { sizeBytes, fault: 'is damaged' };
}
