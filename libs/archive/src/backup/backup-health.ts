/** Whether the archive would survive the loss of its disk, in one sentence, and whether that was tried. */
import { daysBetween, inDays } from '../in-days.js';
import type { Tx } from '../tx.js';
import { newestBackup, standingTrouble } from './backup-state.js';
import { type DrillRow, newestDrill } from './drill.js';

/** A backup older than this is asked for anew (a week's work is what a studio can record twice). */
export const BACKUP_OLD_DAYS = 7;
/** The drill is due once a year; a month of grace, so that nobody is told on the day. */
export const DRILL_OLD_DAYS = 395;

export interface BackupHealth {
  readonly state: 'none' | 'failing' | 'same-disk' | 'old' | 'lossy' | 'good';
  /** where and when; null before the first */
  readonly place: string | null;
  readonly madeAt: Date | null;
  readonly says: string;
  /** undefined when nothing is to be done */
  readonly doThis: string | undefined;
}

export async function backupHealth(tx: Tx, now: Date): Promise<BackupHealth> {
  const newest = await newestBackup(tx);
  const trouble = await standingTrouble(tx);
  const about = { place: newest?.place ?? null, madeAt: newest?.madeAt ?? null };
  if (trouble !== undefined) {
    const tries = trouble.failures === 1 ? 'once' : `${trouble.failures} times`;
    const last =
      newest === undefined
        ? 'There is no backup yet.'
        : `The last one was made ${inDays(newest.madeAt, now)}.`;
    return {
      ...about,
      state: 'failing',
      says: `The backup to ${trouble.place} failed ${tries} since ${trouble.since.toISOString().slice(0, 10)}. ${trouble.says} ${last}`,
      doThis: `see to that place; mullion admin backup ${trouble.place} tries at once`,
    };
  }
  if (newest === undefined) {
    return {
      ...about,
      state: 'none',
      says: 'No backup yet: this archive is on one disk only, and one afternoon’s loss is everything.',
      doThis: 'mullion admin backup FOLDER, with a folder on another disk',
    };
  }
  const { place, madeAt, secondDisk, absent } = newest;
  const made = `Last backup ${inDays(madeAt, now)}, to ${place}.`;
  if (!secondDisk) {
    return {
      ...about,
      state: 'same-disk',
      says: `${made} It is on the same disk as the archive and would be lost with it.`,
      doThis: 'mullion admin backup FOLDER, with a folder on another disk',
    };
  }
  if (daysBetween(madeAt, now) >= BACKUP_OLD_DAYS) {
    return {
      ...about,
      state: 'old',
      says: `${made} What was entered since then is on one disk only.`,
      doThis: `mullion admin backup ${place}`,
    };
  }
  if (absent > 0) {
    return {
      ...about,
      state: 'lossy',
      says: `${made} It could not copy ${absent} objects: they are missing or damaged in the archive itself.`,
      doThis: 'mullion admin check names them',
    };
  }
  return { ...about, state: 'good', says: made, doThis: undefined };
}

export interface DrillHealth {
  readonly state: 'none' | 'old' | 'good';
  readonly restoredAt: Date | null;
  readonly openedWith: DrillRow['openedWith'] | null;
  readonly says: string;
  readonly doThis: string | undefined;
}

const OPENED_WITH: Record<DrillRow['openedWith'], string> = {
  passphrase: 'the passphrase',
  words: 'the words of the recovery sheet',
};

/** A backup that was never restored is a hope. */
export async function drillHealth(tx: Tx, now: Date): Promise<DrillHealth> {
  const newest = await newestDrill(tx);
  if (newest === undefined) {
    return {
      state: 'none',
      restoredAt: null,
      openedWith: null,
      says: 'No backup was ever restored to see that it works.',
      doThis: 'do the drill of the README: mullion admin restore PLACE --home NEW',
    };
  }
  const { restoredAt, openedWith } = newest;
  const says = `The restore was tried last ${inDays(restoredAt, now)}, with ${OPENED_WITH[openedWith]}.`;
  if (daysBetween(restoredAt, now) < DRILL_OLD_DAYS) {
    return { state: 'good', restoredAt, openedWith, says, doThis: undefined };
  }
  return {
    state: 'old',
    restoredAt,
    openedWith,
    says,
    doThis: 'do the drill of the README again: mullion admin restore PLACE --home NEW',
  };
}
