/** Whether the archive would survive the loss of its disk, in one sentence. */
import type { Tx } from '../tx.js';
import { newestBackup } from './backup-state.js';

const DAY_MS = 24 * 60 * 60 * 1000;
/** A backup older than this is asked for anew (a week's work is what a studio can record twice). */
export const BACKUP_OLD_DAYS = 7;

export interface BackupHealth {
  readonly state: 'none' | 'same-disk' | 'old' | 'lossy' | 'good';
  /** where and when; null before the first */
  readonly place: string | null;
  readonly madeAt: Date | null;
  readonly says: string;
  /** undefined when nothing is to be done */
  readonly doThis: string | undefined;
}

export async function backupHealth(tx: Tx, now: Date): Promise<BackupHealth> {
  const newest = await newestBackup(tx);
  if (newest === undefined) {
    return {
      state: 'none',
      place: null,
      madeAt: null,
      says: 'This archive is on one disk only, and there is no backup of it.',
      doThis: 'mullion admin backup FOLDER, with a folder on another disk',
    };
  }
  const { place, madeAt, secondDisk, absent } = newest;
  const days = Math.floor((now.getTime() - madeAt.getTime()) / DAY_MS);
  const about = { place, madeAt };
  if (!secondDisk) {
    return {
      ...about,
      state: 'same-disk',
      says: `The backup in ${place} is on the same disk as the archive and would be lost with it.`,
      doThis: 'mullion admin backup FOLDER, with a folder on another disk',
    };
  }
  if (days >= BACKUP_OLD_DAYS) {
    return {
      ...about,
      state: 'old',
      says: `The last backup on a second disk is ${days} days old.`,
      doThis: `mullion admin backup ${place}`,
    };
  }
  if (absent > 0) {
    return {
      ...about,
      state: 'lossy',
      says: `The last backup could not copy ${absent} objects: they are missing or damaged in the archive itself.`,
      doThis: 'mullion admin check names them',
    };
  }
  const when = days === 0 ? 'less than a day' : days === 1 ? 'a day' : `${days} days`;
  return {
    ...about,
    state: 'good',
    says: `The last backup on a second disk is ${when} old.`,
    doThis: undefined,
  };
}
