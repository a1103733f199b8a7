/** Whether something had happened by a day. */
import { daysAsRecorded } from '#libs/archive';

/** The day by which it had surely happened; '' where only its end is open. */
export const dayOf = (happened: string | null, recordedAt: Date): string =>
  daysAsRecorded(happened, recordedAt).last ?? '';

export const isBy = (until: string | null, happened: string | null, recordedAt: Date): boolean =>
  until === null || dayOf(happened, recordedAt) <= until;
