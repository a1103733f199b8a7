import { placeInHistory, readLogId, readPlace } from '#libs/ledger';
import { say } from './language/say.js';
import { sayCount } from './say-number.js';

/** 'entry 10 482', of a later epoch 'entry 7 of epoch 2' @param place in a history, over all its epochs */
export function sayEntry(place: number): string {
  const { epoch, seq } = readPlace(place);
  return epoch === 1
    ? say('entry {seq}', { seq: sayCount(seq) })
    : say('entry {seq} of epoch {epoch}', { seq: sayCount(seq), epoch });
}

/** The same by the entry's number in the log with this id. */
export const sayEntryInLog = (logId: string, seq: number): string =>
  sayEntry(placeInHistory(readLogId(logId).epoch, seq));
