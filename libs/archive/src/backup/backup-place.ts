/**
 * A place that holds backups: an object store of its own. Everything lies there by its digest, so
 * that generations share what they have in common; manifest and note of each have a name.
 */
import { digestOf, type ObjectStore, ObjectStoreError } from '#libs/objects';
import {
  BackupFault,
  checkSignature,
  type Manifest,
  manifestBytes,
  parseManifest,
} from './manifest.js';

const GENERATION = /^generations\/([0-9TZ]+-[0-9a-f]+)\/note\.txt$/;

/** Name of a generation begun at a moment; names sort by time. */
export function generationName(at: Date, random: string): string {
  return `${at.toISOString().replace(/[-:]|\.\d+/g, '')}-${random}`;
}

export class BackupPlace {
  constructor(readonly store: ObjectStore) {}

  /** Complete generations, newest first. */
  async generations(): Promise<string[]> {
    const found: string[] = [];
    for await (const key of this.store.listNamed('generations/')) {
      const generation = GENERATION.exec(key)?.[1];
      if (generation !== undefined) found.push(generation);
    }
    return found.sort().reverse();
  }

  /** Manifest of a generation, its signature checked. @throws BackupFault */
  async manifest(generation: string): Promise<Manifest> {
    const [bytes, note] = await Promise.all([
      this.store.readNamed(manifestKey(generation)),
      this.store.readNamed(noteKey(generation)),
    ]);
    if (bytes === undefined || note === undefined) {
      throw new BackupFault(`There is no complete generation ${generation} in this backup.`);
    }
    const manifest = parseManifest(bytes, manifestKey(generation));
    if (manifest.generation !== generation) {
      throw new BackupFault(
        `${manifestKey(generation)} is the manifest of generation ${manifest.generation}: files were exchanged.`,
      );
    }
    checkSignature(manifest, bytes, new TextDecoder().decode(note));
    return manifest;
  }

  /** Writes manifest and note; from then on the generation counts. */
  async seal(manifest: Manifest, note: string): Promise<void> {
    await this.store.putNamed(manifestKey(manifest.generation), manifestBytes(manifest));
    await this.store.putNamed(noteKey(manifest.generation), new TextEncoder().encode(note));
  }

  /** Note first, so that a generation cut while it goes is none. */
  async forget(generation: string): Promise<void> {
    await this.store.removeNamed(noteKey(generation));
    await this.store.removeNamed(manifestKey(generation));
  }

  /** Keeps bytes under their digest; those that are there already are not written again. */
  async keep(bytes: Uint8Array): Promise<{ digest: string; sizeBytes: number }> {
    const digest = digestOf(bytes);
    if (!(await this.holds(digest, bytes.length))) await this.store.put(bytes);
    return { digest, sizeBytes: bytes.length };
  }

  /** Whether the object is there in its full length; a shorter one is removed. */
  async holds(digest: string, sizeBytes: number): Promise<boolean> {
    const size = await sizeIfThere(this.store, digest);
    if (size === undefined || size === sizeBytes) return size !== undefined;
    await this.store.destroy(digest);
    return false;
  }

  /** @throws BackupFault naming the chunk and what it is part of */
  async chunk(digest: string, ofWhat: string): Promise<Uint8Array> {
    const bytes = await wholeObject(this.store, digest);
    if (bytes !== undefined && digestOf(bytes) === digest) return bytes;
    const what = bytes === undefined ? 'is missing' : 'is damaged';
    throw new BackupFault(`${digest} ${what}: a part of ${ofWhat}.`);
  }
}

async function sizeIfThere(store: ObjectStore, digest: string): Promise<number | undefined> {
  try {
    return await store.sizeOf(digest);
  } catch (error) {
    if (isGone(error)) return undefined;
    throw error;
  }
}

/** @returns undefined when it is missing; what cannot be read whole counts as damaged (empty) */
async function wholeObject(store: ObjectStore, digest: string): Promise<Uint8Array | undefined> {
  try {
    const parts: Uint8Array[] = [];
    for await (const part of await store.read(digest)) parts.push(part as Uint8Array);
    return Buffer.concat(parts);
  } catch (error) {
    if (isGone(error)) return undefined;
    if (error instanceof ObjectStoreError && error.fault === 'object-damaged')
      return Buffer.alloc(0);
    throw error;
  }
}

export function isGone(error: unknown): boolean {
  return error instanceof ObjectStoreError && error.fault === 'object-missing';
}

function manifestKey(generation: string): string {
  return `generations/${generation}/manifest.json`;
}

function noteKey(generation: string): string {
  return `generations/${generation}/note.txt`;
}
