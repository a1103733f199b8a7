/**
 * What may happen to a picture, as one pure function. An event that does not fit the state changes
 * nothing, so that an answer that comes late, twice, or to another tab does no harm.
 */

import { say } from '../../platform/language/say.js';
import type { Job, Picture, Receipt } from './picture.js';
import { retryDelayMs } from './send-plan.js';

export type PictureEvent =
  /** the bytes lie here, and were read back; `toBeSeen`: not before it was looked at */
  | { readonly kind: 'kept'; readonly sha256: string; readonly toBeSeen: boolean }
  | { readonly kind: 'not-kept'; readonly why: string }
  /** looked at; `stop`: why it should not go as what it was taken for */
  | { readonly kind: 'looked'; readonly found: readonly string[]; readonly stop: string | null }
  /** a person lets a held picture go, or sends a refused one again; perhaps as something else */
  | { readonly kind: 'let-go'; readonly job: Job }
  | { readonly kind: 'begun'; readonly uploadUrl: string }
  /** the server knows nothing of the upload any more */
  | { readonly kind: 'upload-gone' }
  | {
      readonly kind: 'failed';
      readonly why: string;
      readonly atMs: number;
      /** 0 to 1, spreads the tries of many phones */
      readonly chance: number;
    }
  | { readonly kind: 'refused'; readonly why: string }
  | { readonly kind: 'received'; readonly receipt: Receipt }
  | { readonly kind: 'proven'; readonly size: number; readonly provenAt: string }
  /** the line is back: no more waiting */
  | { readonly kind: 'hurry' }
  | { readonly kind: 'bytes-removed' }
  | { readonly kind: 'discarded' };

/** The picture after the event; the same object when the event does not fit. */
export function afterEvent(picture: Picture, event: PictureEvent): Picture {
  const { state } = picture;
  switch (event.kind) {
    case 'kept':
      if (state !== 'writing') return picture;
      return {
        ...picture,
        sha256: event.sha256,
        state: event.toBeSeen ? 'held' : 'waiting',
        why: null,
      };
    case 'not-kept':
      return state === 'writing'
        ? { ...picture, state: 'unfinished', why: event.why, hasBytes: false }
        : picture;
    case 'looked':
      return looked(picture, event.found, event.stop);
    case 'let-go':
      if (state !== 'held' && state !== 'refused') return picture;
      return { ...picture, job: event.job, state: 'waiting', uploadUrl: null, ...atOnce };
    case 'begun':
      return state === 'waiting' ? { ...picture, uploadUrl: event.uploadUrl } : picture;
    case 'upload-gone':
      return state === 'waiting' ? { ...picture, uploadUrl: null } : picture;
    case 'failed':
      return failed(picture, event);
    case 'refused':
      return state === 'waiting'
        ? { ...picture, state: 'refused', why: event.why, uploadUrl: null }
        : picture;
    case 'received':
      return received(picture, event.receipt);
    case 'proven':
      if (state !== 'received' || picture.receipt === null) return picture;
      if (event.size <= picture.receipt.seq) return picture;
      return {
        ...picture,
        state: 'proven',
        proof: { size: event.size, provenAt: event.provenAt },
        ...atOnce,
      };
    case 'hurry':
      return picture.nextTryMs === 0 ? picture : { ...picture, nextTryMs: 0 };
    case 'bytes-removed':
      return mayLoseBytes(picture) ? { ...picture, hasBytes: false } : picture;
    case 'discarded':
      return mayDiscard(picture) ? { ...picture, state: 'discarded', why: null } : picture;
  }
}

const atOnce = { why: null, tries: 0, nextTryMs: 0 };

function looked(picture: Picture, found: readonly string[], stop: string | null): Picture {
  if (picture.state !== 'held') return { ...picture, found };
  return stop === null
    ? { ...picture, found, state: 'waiting', ...atOnce }
    : { ...picture, found, why: stop };
}

function failed(picture: Picture, event: Extract<PictureEvent, { kind: 'failed' }>): Picture {
  if (picture.state !== 'waiting' && picture.state !== 'received') return picture;
  return {
    ...picture,
    why: event.why,
    tries: picture.tries + 1,
    nextTryMs: event.atMs + retryDelayMs(picture.tries, event.chance),
  };
}

/** Other bytes than were sent are no receipt: the upload begins anew. */
function received(picture: Picture, receipt: Receipt): Picture {
  if (picture.state !== 'waiting') return picture;
  if (receipt.digest !== `sha256:${picture.sha256}`) {
    return {
      ...picture,
      uploadUrl: null,
      why: say(
        'The archive answered with the digest of other bytes. The picture stays here and is sent anew.',
      ),
    };
  }
  return { ...picture, receipt, state: 'received', ...atOnce };
}

/** Only what the archive was proven to hold, or what a person gave up, may leave this device. */
export const mayLoseBytes = ({ state }: Picture): boolean =>
  state === 'proven' || state === 'discarded';

/** What nobody has sent yet may be taken back; what reached the archive stays there. */
export const mayDiscard = ({ state, uploadUrl }: Picture): boolean =>
  state === 'held' ||
  state === 'refused' ||
  state === 'unfinished' ||
  (state === 'waiting' && uploadUrl === null);
