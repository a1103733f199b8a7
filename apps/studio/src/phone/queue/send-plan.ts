/** What the sender does next, and when: pure, so that it can be tried against every order of troubles. */
import type { Picture } from './picture.js';

const FIRST_RETRY_MS = 1_000;
const LAST_RETRY_MS = 5 * 60_000;

/**
 * How long to wait after a failure: doubles up to five minutes; half of it is spread by chance so that
 * phones that lost the line together do not come back together.
 *
 * @param tries failures before this one
 * @param chance 0 to 1
 */
export function retryDelayMs(tries: number, chance: number): number {
  const whole = Math.min(LAST_RETRY_MS, FIRST_RETRY_MS * 2 ** Math.min(tries, 20));
  return Math.round(whole / 2 + (whole / 2) * Math.min(1, Math.max(0, chance)));
}

export type SendStep =
  | { readonly act: 'send' | 'prove'; readonly picture: Picture }
  | { readonly act: 'wait'; readonly untilMs: number }
  | { readonly act: 'rest' };

/**
 * Receipts are proven first (then the device has room again), then the picture that was taken first.
 *
 * @param archiveId pictures taken for another archive are not sent to this one
 */
export function nextStep(pictures: readonly Picture[], archiveId: string, nowMs: number): SendStep {
  const due = pictures
    .filter((picture) => picture.archiveId === archiveId)
    .filter(({ state }) => state === 'received' || state === 'waiting');
  const ready = due.filter(({ nextTryMs }) => nextTryMs <= nowMs).sort(inOrder);
  const first = ready[0];
  if (first !== undefined)
    return { act: first.state === 'received' ? 'prove' : 'send', picture: first };
  if (due.length === 0) return { act: 'rest' };
  return { act: 'wait', untilMs: Math.min(...due.map(({ nextTryMs }) => nextTryMs)) };
}

function inOrder(a: Picture, b: Picture): number {
  if (a.state !== b.state) return a.state === 'received' ? -1 : 1;
  const byTime = Date.parse(a.takenAt) - Date.parse(b.takenAt);
  return byTime !== 0 ? byTime : a.id < b.id ? -1 : 1;
}

export interface Room {
  readonly usedBytes: number;
  readonly quotaBytes: number;
}

/** Left free for the browser's own needs, so that a write does not fail half way. */
const RESERVE_BYTES = 50e6;
/** A photograph where none was taken yet to go by (common practice, no source). */
const USUAL_PICTURE_BYTES = 8e6;
/** From here on it is told. */
const TELL_BELOW_PICTURES = 25;

export interface RoomSaid {
  readonly leftBytes: number;
  /** pictures of the size taken lately that still fit */
  readonly leftPictures: number;
  readonly state: 'enough' | 'tell' | 'full';
}

/** What still fits on this device. @param recentBytes sizes of pictures taken lately */
export function roomLeft(room: Room, recentBytes: readonly number[]): RoomSaid {
  const leftBytes = Math.max(0, room.quotaBytes - room.usedBytes - RESERVE_BYTES);
  const oneBytes = Math.max(...(recentBytes.length > 0 ? recentBytes : [USUAL_PICTURE_BYTES]));
  const leftPictures = Math.floor(leftBytes / Math.max(1, oneBytes));
  return {
    leftBytes,
    leftPictures,
    state: leftPictures === 0 ? 'full' : leftPictures < TELL_BELOW_PICTURES ? 'tell' : 'enough',
  };
}

/**
 * Copies to remove when space is wanted: of pictures proven to be in the archive, the oldest first, as
 * few as give `wantedBytes`.
 */
export function copiesToRemove(pictures: readonly Picture[], wantedBytes: number): Picture[] {
  const chosen: Picture[] = [];
  let sumBytes = 0;
  for (const picture of pictures
    .filter(({ state, hasBytes }) => state === 'proven' && hasBytes)
    .sort(inOrder)) {
    if (sumBytes >= wantedBytes) break;
    chosen.push(picture);
    sumBytes += picture.sizeBytes;
  }
  return chosen;
}
