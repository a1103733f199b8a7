/** The store, or the two stores as one, that the configuration names. */
import { randomUUID } from 'node:crypto';
import { access } from 'node:fs/promises';
import { z } from 'zod';
import { LateStore } from './late-store.js';
import { MirroredObjectStore, type MirrorReports } from './mirrored-object-store.js';
import { type ObjectStore, ObjectStoreError, type TendedStore } from './object-store.js';
import { openObjectStore, type S3Access } from './open-object-store.js';

export interface StorePlaces {
  /** locator of the primary */
  readonly objects: string;
  readonly s3: S3Access | undefined;
  /** locator of the replica */
  readonly objectsReplica: string | undefined;
  readonly s3Replica: S3Access | undefined;
}

/** Text in both stores of a pair: by it a disk that is not mounted is told from an empty replica. */
const PAIR = 'pair/replica';

const pairSchema = z.object({ replicaId: z.uuid(), locator: z.string(), since: z.iso.datetime() });

/**
 * Opens the primary, and the replica once it is needed: an archive starts and works while its replica
 * is away, and says so.
 */
export async function openArchiveStore(
  places: StorePlaces,
  reports?: MirrorReports,
): Promise<ObjectStore> {
  const primary = await openObjectStore(places.objects, places.s3);
  return withReplica(primary, places, reports);
}

/** The same without a request: for whoever must run although the primary may be away. */
export function lateArchiveStore(places: StorePlaces): ObjectStore {
  return withReplica(new LateStore(() => openObjectStore(places.objects, places.s3)), places);
}

function withReplica(
  primary: TendedStore,
  { objects, objectsReplica: locator, s3Replica }: StorePlaces,
  reports?: MirrorReports,
): ObjectStore {
  if (locator === undefined) return primary;
  if (locator === objects) {
    throw new ObjectStoreError(
      'locator-invalid',
      `MULLION_OBJECTS_REPLICA names the primary itself (${locator}): name another disk or service`,
    );
  }
  const replica = new LateStore(() => openReplica(primary, locator, s3Replica));
  return new MirroredObjectStore(primary, replica, reports);
}

/**
 * @throws {ObjectStoreError} `store-unavailable` when the place is not the one that was there before
 */
async function openReplica(
  primary: ObjectStore,
  locator: string,
  access_: S3Access | undefined,
): Promise<TendedStore> {
  const noted = await primary.readNamed(PAIR);
  const known = noted === undefined ? undefined : readPair(noted);
  const isKnown = known?.locator === locator;
  if (isKnown && locator.startsWith('file:')) {
    const folder = locator.slice('file:'.length).replace(/^\/\/(?=\/)/, '');
    await access(`${folder}/named/${PAIR}`).catch((cause: unknown) => {
      throw otherPlace(locator, cause);
    });
  }
  const replica = await openObjectStore(locator, access_);
  if (isKnown) {
    const shown = await replica.readNamed(PAIR);
    if (shown === undefined || readPair(shown).replicaId !== known.replicaId) {
      throw otherPlace(locator);
    }
    return replica;
  }
  const pair = { replicaId: randomUUID(), locator, since: new Date().toISOString() };
  const bytes = new TextEncoder().encode(JSON.stringify(pair));
  await replica.putNamed(PAIR, bytes);
  await primary.putNamed(PAIR, bytes);
  return replica;
}

function readPair(bytes: Uint8Array): z.infer<typeof pairSchema> {
  return pairSchema.parse(JSON.parse(new TextDecoder().decode(bytes)));
}

function otherPlace(locator: string, cause?: unknown): ObjectStoreError {
  return new ObjectStoreError(
    'store-unavailable',
    `the replica at ${locator} is not the one that this archive wrote to before: is the disk mounted, the bucket the right one? A replica that is gone for good is begun anew by giving it another place.`,
    { cause },
  );
}

/** Puts into words what a pair of stores tells. */
export function storeReports(say: (line: string) => void): MirrorReports {
  return {
    onBehind: (owed, error) => {
      const about = owed.kind === 'name' ? owed.key : owed.digest;
      const what = owed.kind === 'destroy' ? 'still holds' : 'lacks';
      say(
        `the replica ${what} ${about}: ${error instanceof Error ? error.message : String(error)}`,
      );
    },
    onHealed: (digest) => {
      say(`${digest} was missing or damaged in the primary and came back from the replica`);
    },
  };
}

/** The single stores behind what {@link openArchiveStore} gave. */
export function storesOf(
  store: ObjectStore,
): { name: 'primary' | 'replica'; store: TendedStore }[] {
  if (store instanceof MirroredObjectStore) {
    return [
      { name: 'primary', store: store.primary },
      { name: 'replica', store: store.replica },
    ];
  }
  return [{ name: 'primary', store: store as TendedStore }];
}
