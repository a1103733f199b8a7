/** Whether the objects were read again lately and found whole, and what the replica still lacks. */
import { MirroredObjectStore, type ObjectStore } from '#libs/objects';
import { inDays } from '../in-days.js';
import type { ScrubRow } from '../rows.js';
import type { Tx } from '../tx.js';
import { ScrubRun } from './scrub-run.js';

const DAY_MS = 24 * 60 * 60 * 1000;

export interface ScrubHealth {
  readonly state: 'none' | 'damaged' | 'old' | 'good';
  readonly endedAt: Date | null;
  readonly isUnderWay: boolean;
  readonly says: string;
  /** undefined when nothing is to be done */
  readonly doThis: string | undefined;
}

/** @param everyMs how often all objects are to be read again */
export async function scrubHealth(tx: Tx, everyMs: number, now: Date): Promise<ScrubHealth> {
  const row = await tx.first<ScrubRow>('SELECT * FROM scrub ORDER BY ended_at DESC LIMIT 1');
  const isUnderWay = await ScrubRun.isUnderWay(tx);
  const going = isUnderWay ? ' A scrub is under way.' : '';
  if (row === undefined) {
    const first = await tx.first<{ at: Date | null }>(
      'SELECT min(first_at) AS at FROM stored_object',
    );
    const isYoung = first?.at == null || now.getTime() - first.at.getTime() < 2 * everyMs;
    return {
      state: isYoung ? 'good' : 'none',
      endedAt: null,
      isUnderWay,
      says: `What is stored was not read again yet.${going}`,
      doThis: isYoung || isUnderWay ? undefined : 'mullion admin scrub',
    };
  }
  const { endedAt, troubles, mended, report, objects, stores } = row;
  const when = inDays(endedAt, now);
  const left = troubles - mended;
  if (left > 0) {
    return {
      state: 'damaged',
      endedAt,
      isUnderWay,
      says: `${left} objects or checkpoints are damaged or missing. The reading of everything that ended ${when} found them and could not mend them.${going}`,
      doThis: `mullion admin scrub --repair names them (report ${report})`,
    };
  }
  const isOld = now.getTime() - endedAt.getTime() > 2 * everyMs;
  return {
    state: isOld ? 'old' : 'good',
    endedAt,
    isUnderWay,
    says: `Everything stored was read again ${when} and is whole: ${objects} objects in ${stores.join(' and ')}${mended > 0 ? `, ${mended} of them mended` : ''}.${isOld ? ` That is due every ${Math.round(everyMs / DAY_MS)} days.` : ''}${going}`,
    doThis: isOld && !isUnderWay ? 'mullion admin scrub' : undefined,
  };
}

export interface ReplicaHealth {
  readonly state: 'none' | 'owed' | 'good';
  /** writes that wait for the replica, counted up to a limit */
  readonly owed: number;
  readonly since: Date | null;
  readonly says: string;
  readonly doThis: string | undefined;
}

/** More than so many are not counted: each is a request to the store. */
const OWED_COUNTED = 100;
/** The worker copies once a minute: what is owed for less long is on its way. */
const OWED_QUIET_MS = 10 * 60 * 1000;

export async function replicaHealth(objects: ObjectStore, now: Date): Promise<ReplicaHealth> {
  if (!(objects instanceof MirroredObjectStore)) {
    return {
      state: 'none',
      owed: 0,
      since: null,
      says: 'Objects lie in one place.',
      doThis: undefined,
    };
  }
  let owed = 0;
  let since: Date | null = null;
  for await (const { since: each } of objects.owed()) {
    owed += 1;
    if (since === null || each < since) since = each;
    if (owed === OWED_COUNTED) break;
  }
  if (since === null) {
    return {
      state: 'good',
      owed: 0,
      since: null,
      says: 'The second place lacks nothing that was written.',
      doThis: undefined,
    };
  }
  const count = owed === OWED_COUNTED ? `${owed} or more` : `${owed}`;
  const isQuiet = now.getTime() - since.getTime() < OWED_QUIET_MS;
  return {
    state: isQuiet ? 'good' : 'owed',
    owed,
    since,
    says: `${count} writes wait for the second place, the first since ${since.toISOString().slice(0, 16).replace('T', ' ')} UTC.`,
    doThis: isQuiet
      ? undefined
      : 'see that it answers: the worker copies what is lacking by itself',
  };
}
