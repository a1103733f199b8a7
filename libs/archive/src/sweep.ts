/**
 * Clears away bytes that were never acknowledged: objects that nothing names. In two sittings, so that
 * an upload that arrives meanwhile loses nothing: an object is first set aside, where whoever asks for
 * it still gets it, and discarded only when nothing has named it for the whole time once more.
 */
import {
  isFault,
  type Leftover,
  type ListedObject,
  type ObjectStore,
  storesOf,
  type TendedStore,
} from '#libs/objects';
import type { Tx } from './tx.js';

export interface SweepAsk {
  /** younger bytes are let be: an upload may be about to be acknowledged */
  readonly olderThanMs: number;
  /** false: only tells what it would do */
  readonly remove: boolean;
  readonly now?: () => number;
}

export interface Swept {
  readonly store: 'primary' | 'replica';
  /** nothing names them: set aside in this sitting */
  readonly setAside: ListedObject[];
  /** set aside in an earlier sitting, and still not named: gone for good */
  readonly discarded: ListedObject[];
  /** set aside earlier and named since: in their place again */
  readonly putBack: ListedObject[];
  /** a device or an upload announced them and nobody claimed them yet: never swept */
  readonly announced: ListedObject[];
  /** nothing names them, but retention keeps them for now */
  readonly retained: ListedObject[];
  readonly leftovers: Leftover[];
}

const AT_ONCE = 500;

export async function sweep(tx: Tx, objects: ObjectStore, ask: SweepAsk): Promise<Swept[]> {
  const swept: Swept[] = [];
  for (const { name, store } of storesOf(objects)) {
    swept.push({ store: name, ...(await sweepStore(tx, store, ask)) });
  }
  return swept;
}

async function sweepStore(
  tx: Tx,
  store: TendedStore,
  { olderThanMs, remove, now = Date.now }: SweepAsk,
): Promise<Omit<Swept, 'store'>> {
  const before = new Date(now() - olderThanMs);
  const swept: Omit<Swept, 'store' | 'leftovers'> = {
    setAside: [],
    discarded: [],
    putBack: [],
    announced: [],
    retained: [],
  };
  for await (const aside of store.listAside()) {
    if ((await unnamed(tx, [aside])).length === 0 || (await isNamedAnywhere(tx, aside.digest))) {
      if (remove) await store.putBack(aside.digest);
      swept.putBack.push(aside);
    } else if (aside.storedAt < before) {
      if (remove) await store.discard(aside.digest);
      swept.discarded.push(aside);
    }
  }
  for await (const batch of batches(store.list(), AT_ONCE)) {
    const old = batch.filter(({ storedAt }) => storedAt < before);
    for (const object of await unnamed(tx, old)) {
      if (await isAnnounced(tx, object.digest)) swept.announced.push(object);
      else if (!(await isNamedAnywhere(tx, object.digest))) {
        const isTaken = !remove || (await takenAside(store, object.digest));
        (isTaken ? swept.setAside : swept.retained).push(object);
      }
    }
  }
  return { ...swept, leftovers: await store.leftovers(before, { remove }) };
}

async function takenAside(store: TendedStore, digest: string): Promise<boolean> {
  try {
    await store.setAside(digest);
    return true;
  } catch (error) {
    if (isFault(error, 'object-retained')) return false;
    throw error;
  }
}

/** Those that no entry and no derivative names. */
async function unnamed(tx: Tx, objects: readonly ListedObject[]): Promise<ListedObject[]> {
  if (objects.length === 0) return [];
  const rows = await tx.query<{ digest: string }>(
    `SELECT digest FROM stored_object WHERE digest = ANY($1)
     UNION SELECT digest FROM derivative WHERE digest = ANY($1)`,
    [objects.map(({ digest }) => digest)],
  );
  const named = new Set(rows.map(({ digest }) => digest));
  return objects.filter(({ digest }) => !named.has(digest));
}

/** By the text of any entry or job: slow, and asked only of what is about to be swept. */
async function isNamedAnywhere(tx: Tx, digest: string): Promise<boolean> {
  const row = await tx.first(
    `SELECT 1 WHERE
       EXISTS (SELECT 1 FROM entry WHERE position(convert_to($1, 'UTF8') IN bytes) > 0)
       OR EXISTS (SELECT 1 FROM job_progress WHERE position($1 IN result::text) > 0)
       OR EXISTS (SELECT 1 FROM dossier WHERE digest = $1)`,
    [digest],
  );
  return row !== undefined;
}

/** An upload that arrived whole and was not attached. */
async function isAnnounced(tx: Tx, digest: string): Promise<boolean> {
  const row = await tx.first('SELECT 1 FROM upload WHERE position($1 IN metadata::text) > 0', [
    digest,
  ]);
  return row !== undefined;
}

async function* batches<T>(items: AsyncIterable<T>, size: number): AsyncGenerator<T[]> {
  let batch: T[] = [];
  for await (const item of items) {
    batch.push(item);
    if (batch.length < size) continue;
    yield batch;
    batch = [];
  }
  if (batch.length > 0) yield batch;
}
