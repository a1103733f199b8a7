/**
 * A generation of a backup into an empty archive: rows, objects, projections made again, everything
 * compared with the manifest. The caller makes the home and opens it only when this has resolved.
 */
import { createHash } from 'node:crypto';
import { type ObjectStore, ObjectStoreError } from '#libs/objects';
import { rebuildProjections } from '../rebuild.js';
import type { SqlPool } from '../tx.js';
import { copyObjects, type NamedObject, readObjectList } from './backup-objects.js';
import type { BackupPlace } from './backup-place.js';
import { backupTables, fullName, type RowReader, type RowWriter } from './backup-tables.js';
import {
  type CheckedLog,
  checkLogs,
  differingProjections,
  nameOfObject,
} from './check-restored.js';
import { fillDatabase } from './fill-database.js';
import { BackupFault, type Manifest } from './manifest.js';
import { takeOutHalfUploads, takeOutLaterRows } from './older-generation.js';
import type { OpenedPart } from './sealed-part.js';

interface Ended {
  close(): Promise<void>;
}

export interface RestoreTarget {
  readonly objects: ObjectStore;
  /** as the application's role */
  readonly pool: SqlPool;
  /** as the owner's role, one transaction */
  write(): Promise<RowWriter & Ended & { commit(): Promise<void> }>;
  /** the database at one moment */
  moment(): Promise<RowReader & Ended>;
  /** Brings the tables from those of the backup to those of the program. */
  bringUpToDate(): Promise<void>;
}

export interface RestoreSource {
  readonly place: BackupPlace;
  readonly manifest: Manifest;
  /** sealed part of the newest generation, opened */
  readonly part: OpenedPart;
  /** whether `part` is of a later generation than the manifest */
  readonly isOlder: boolean;
  /**
   * Store that holds the objects: the backup's own, or that of the home a database copy lies in. The
   * target's own: they stay where they are, and are not read.
   */
  readonly objects: ObjectStore;
}

export type RestoreProgress =
  | { readonly step: 'rows' | 'projections' | 'logs' }
  | { readonly step: 'objects'; readonly done: number; readonly of: number };

export interface RestoreReport {
  readonly objects: number;
  readonly bytes: number;
  readonly entries: number;
  readonly logs: readonly CheckedLog[];
  /** projections that came out otherwise than at the backup's moment */
  readonly differing: readonly string[];
}

/** @throws BackupFault naming what is damaged; the target is of no use then */
export async function restoreBackup(
  source: RestoreSource,
  target: RestoreTarget,
  {
    fingerprint,
    onProgress = () => undefined,
  }: { fingerprint?: string | undefined; onProgress?: (progress: RestoreProgress) => void } = {},
): Promise<RestoreReport> {
  const { manifest } = source;
  onProgress({ step: 'rows' });
  await writeRows(source, target);
  const objects = await restoreObjects(source, target, (done, of) => {
    onProgress({ step: 'objects', done, of });
  });
  await target.bringUpToDate();
  onProgress({ step: 'projections' });
  const entries = await rebuildProjections(target.pool, target.objects);
  onProgress({ step: 'logs' });
  const moment = await target.moment();
  try {
    const logs = await checkLogs(moment, manifest, fingerprint);
    refuseAltered(logs);
    return {
      objects: objects.length,
      bytes: objects.reduce((sum, { sizeBytes }) => sum + sizeBytes, 0),
      entries,
      logs,
      differing: source.isOlder ? [] : await differingProjections(moment, manifest),
    };
  } finally {
    await moment.close();
  }
}

async function writeRows(
  { place, manifest, part, isOlder }: RestoreSource,
  target: RestoreTarget,
): Promise<void> {
  const writer = await target.write();
  try {
    await fillDatabase(writer, place, manifest, part);
    await takeOutHalfUploads(writer);
    if (isOlder) {
      await takeOutLaterRows(writer, (await backupTables(writer)).map(fullName));
    }
    await writer.commit();
  } finally {
    await writer.close();
  }
}

async function restoreObjects(
  { place, manifest, objects: from }: RestoreSource,
  target: RestoreTarget,
  onStep: (done: number, of: number) => void,
): Promise<NamedObject[]> {
  const objects = await readObjectList(place, manifest.objects.lists);
  if (from === target.objects) return objects;
  const { absent } = await copyObjects(
    objects,
    from,
    (object) => isWhole(target.objects, object),
    target.objects,
    (done) => {
      onStep(done, objects.length);
    },
  );
  if (absent.length === 0) return objects;
  const moment = await target.moment();
  try {
    const lines = [];
    for (const { digest, why } of absent)
      lines.push(`  ${why}: ${await nameOfObject(moment, digest)}`);
    throw new BackupFault(
      `${absent.length} of ${objects.length} objects of this backup cannot be read:\n${lines.join('\n')}`,
    );
  } finally {
    await moment.close();
  }
}

/** An object that lies in the target already (an interrupted restore, a store that outlived the database). */
async function isWhole(store: ObjectStore, { digest, sizeBytes }: NamedObject): Promise<boolean> {
  const hash = createHash('sha256');
  let size = 0;
  try {
    for await (const part of await store.read(digest)) {
      hash.update(part as Uint8Array);
      size += (part as Uint8Array).length;
    }
  } catch (error) {
    if (!(error instanceof ObjectStoreError)) throw error;
    if (error.fault === 'object-missing') return false;
    if (error.fault !== 'object-damaged') throw error;
  }
  if (size === sizeBytes && `sha256:${hash.digest('hex')}` === digest) return true;
  await store.destroy(digest);
  return false;
}

function refuseAltered(logs: readonly CheckedLog[]): void {
  for (const { origin, verdict } of logs) {
    if (verdict.result !== 'altered') continue;
    const reasons = verdict.faults.slice(0, 5).map(({ reason }) => `  ${reason}`);
    throw new BackupFault(`The log ${origin} in this backup is altered:\n${reasons.join('\n')}`);
  }
}
