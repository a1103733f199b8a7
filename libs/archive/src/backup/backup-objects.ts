/** Objects that a backup holds: those of the history must be there, others are taken along. */
import type { ObjectStore } from '#libs/objects';
import { isDigest, ObjectStoreError } from '#libs/objects';
import type { BackupPlace } from './backup-place.js';
import { isGone } from './backup-place.js';
import { type BackupTable, quotedTable, type RowReader } from './backup-tables.js';
import { BackupFault } from './manifest.js';
import { cutRows, packed, unpacked } from './row-chunks.js';

export interface NamedObject {
  readonly digest: string;
  readonly sizeBytes: number;
}

/** An object that the history names and the store does not hold any more. */
export interface AbsentObject {
  readonly digest: string;
  readonly why: 'missing' | 'damaged';
}

const AT_ONCE = 4;
const COLUMN_OF_DIGEST = /(^|_)digest$/;

/**
 * Digests by table: `stored_object` holds what entries name, any other table may name more
 * (derivatives, what a device announced).
 */
export async function namedObjects(
  rows: RowReader,
  tables: readonly BackupTable[],
  store: ObjectStore,
): Promise<NamedObject[]> {
  const required = await rows.query<{ digest: string; sizeBytes: string }>(
    `SELECT digest, size_bytes AS "sizeBytes" FROM stored_object`,
  );
  const withdrawn = new Set(await withdrawnObjects(rows, tables));
  const found = new Map<string, number>();
  for (const { digest, sizeBytes } of required) {
    if (!withdrawn.has(digest)) found.set(digest, Number(sizeBytes));
  }
  for (const table of tables) {
    for (const column of table.columns.filter((name) => COLUMN_OF_DIGEST.test(name))) {
      const others = await rows.query<{ digest: string }>(
        `SELECT DISTINCT "${column}"::text AS digest FROM ${quotedTable(table)}
         WHERE "${column}"::text LIKE 'sha256:%'`,
      );
      for (const { digest } of others) {
        if (found.has(digest) || withdrawn.has(digest) || !isDigest(digest)) continue;
        const sizeBytes = await store.sizeOf(digest).catch(ifGone);
        if (sizeBytes !== undefined) found.set(digest, sizeBytes);
      }
    }
  }
  return [...found]
    .map(([digest, sizeBytes]) => ({ digest, sizeBytes }))
    .sort((a, b) => (a.digest < b.digest ? -1 : 1));
}

/** Objects whose bytes were destroyed on purpose. */
export async function withdrawnObjects(
  rows: Pick<RowReader, 'query'>,
  tables: readonly BackupTable[],
): Promise<string[]> {
  if (!tables.some(({ schema, name }) => schema === 'public' && name === 'withdrawn_object')) {
    return [];
  }
  const found = await rows.query<{ digest: string }>('SELECT digest FROM withdrawn_object');
  return found.map(({ digest }) => digest);
}

function ifGone(error: unknown): undefined {
  if (!isGone(error)) throw error;
}

export interface CopyReport {
  readonly copied: number;
  readonly copiedBytes: number;
  readonly absent: readonly AbsentObject[];
}

/** Copies what is not there yet, hashed on its way. */
export async function copyObjects(
  objects: readonly NamedObject[],
  from: ObjectStore,
  holds: (object: NamedObject) => Promise<boolean>,
  to: ObjectStore,
  onStep: (done: number, object: NamedObject) => void = () => undefined,
): Promise<CopyReport> {
  const absent: AbsentObject[] = [];
  let copied = 0;
  let copiedBytes = 0;
  let done = 0;
  const queue = objects.values();
  const lane = async () => {
    for (const object of queue) {
      if (!(await holds(object))) {
        const why = await copyOne(object, from, to);
        if (why === undefined) {
          copied += 1;
          copiedBytes += object.sizeBytes;
        } else {
          absent.push({ digest: object.digest, why });
        }
      }
      done += 1;
      onStep(done, object);
    }
  };
  await Promise.all(Array.from({ length: AT_ONCE }, lane));
  return { copied, copiedBytes, absent: absent.sort((a, b) => (a.digest < b.digest ? -1 : 1)) };
}

async function copyOne(
  { digest, sizeBytes }: NamedObject,
  from: ObjectStore,
  to: ObjectStore,
): Promise<AbsentObject['why'] | undefined> {
  try {
    const stored = await to.put(await from.read(digest), { expectedDigest: digest });
    return stored.sizeBytes === sizeBytes ? undefined : 'damaged';
  } catch (error) {
    if (!(error instanceof ObjectStoreError)) throw error;
    if (error.fault === 'object-missing') return 'missing';
    if (error.fault === 'digest-mismatch' || error.fault === 'object-damaged') return 'damaged';
    throw error;
  }
}

/** Lines `digest size`, cut so that the next list shares its chunks. */
export async function keepObjectList(place: BackupPlace, objects: readonly NamedObject[]) {
  const lists: NamedObject[] = [];
  for await (const { bytes } of cutRows(listLines(objects))) {
    lists.push(await place.keep(await packed(bytes)));
  }
  return {
    count: objects.length,
    sizeBytes: objects.reduce((sum, { sizeBytes }) => sum + sizeBytes, 0),
    lists,
  };
}

export async function readObjectList(
  place: BackupPlace,
  lists: readonly NamedObject[],
): Promise<NamedObject[]> {
  const objects: NamedObject[] = [];
  for (const { digest } of lists) {
    const text = new TextDecoder().decode(
      await unpacked(await place.chunk(digest, 'the list of objects')),
    );
    for (const line of text.trimEnd().split('\n')) {
      const [named, size] = line.split(' ');
      if (named === undefined || !isDigest(named) || !/^\d+$/.test(size ?? '')) {
        throw new BackupFault(`The list of objects in ${digest} cannot be read.`);
      }
      objects.push({ digest: named, sizeBytes: Number(size) });
    }
  }
  return objects;
}

// eslint-disable-next-line @typescript-eslint/require-await -- cutRows reads streams
async function* listLines(objects: readonly NamedObject[]): AsyncGenerator<Uint8Array> {
  for (const { digest, sizeBytes } of objects) yield Buffer.from(`${digest} ${sizeBytes}\n`);
}
