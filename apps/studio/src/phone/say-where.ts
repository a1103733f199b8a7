import { lightWords } from '../platform/api/media.js';
import { say, sayWord } from '../platform/language/say.js';
import { sayEntryInLog } from '../platform/say-entry.js';
import { sayRatio } from '../platform/say-number.js';
import type { NotedFinding } from './findings/noted.js';
import type { Job, Picture } from './queue/picture.js';

/** 'raking light from 9 o’clock, inside, before' */
export function sayJob(job: Omit<Job, 'siteId'>): string {
  const light =
    job.kind !== 'photograph'
      ? sayWord(job.kind)
      : lightWords(
          job.light === 'raking' && job.clockHour !== null
            ? { kind: 'raking', clockHour: job.clockHour }
            : job.light === 'raking'
              ? { kind: 'raking' }
              : { kind: job.light },
        );
  const words = [light, sayWord(job.face), job.layer === 'back' ? say('back layer') : null];
  if (job.stage !== 'undated') words.push(sayWord(job.stage));
  return words.filter((word) => word !== null).join(', ');
}

/** 'entry 10 482' */
const sayReceipt = ({ logId, seq }: { readonly logId: string; readonly seq: number }): string =>
  sayEntryInLog(logId, seq);

/** Where a finding lies, in the words of the bench. */
export function sayNoted({ state, receipt }: NotedFinding): string {
  const entry = receipt === null ? '' : sayReceipt(receipt);
  switch (state) {
    case 'waiting':
      return say('only on this phone');
    case 'received':
      return say('only sure on this phone; the archive names {entry}, being proven', { entry });
    case 'proven':
      return say('in the archive, {entry}', { entry });
    case 'conflict':
      return say('only on this phone: look at both');
    case 'refused':
      return say('only on this phone, refused');
    case 'discarded':
      return say('discarded by you');
  }
}

/** Where a picture lies, in the words of the bench. @param ratio of its sending; null when it is not sent */
export function sayWhere(picture: Picture, ratio: number | null): string {
  const { state, receipt, hasBytes, uploadUrl } = picture;
  const entry = receipt === null ? '' : sayReceipt(receipt);
  switch (state) {
    case 'writing':
      return say('being written down');
    case 'held':
      return say('only on this phone, not sent');
    case 'waiting':
      if (ratio !== null)
        return say('only on this phone, sending {ratio}', { ratio: sayRatio(ratio) });
      return uploadUrl === null
        ? say('only on this phone')
        : say('only on this phone, partly sent');
    case 'received':
      return say('only sure on this phone; the archive names {entry}, being proven', { entry });
    case 'proven':
      return hasBytes
        ? say('in the archive, {entry}; a copy is still here', { entry })
        : say('in the archive, {entry}', { entry });
    case 'refused':
      return say('only on this phone, refused');
    case 'unfinished':
      return say('not kept: take it again');
    case 'discarded':
      return say('discarded by you');
  }
}

/** How sure it is that nothing here is lost, and what is missing for it. */
export function sayKeeping(keeping: {
  readonly isPersistent: boolean | null;
  readonly isInstalled: boolean;
  readonly isSecure: boolean;
}): { readonly isSafe: boolean; readonly missing: readonly string[] } {
  const missing: string[] = [];
  if (!keeping.isSecure) {
    missing.push(
      say(
        'This address is not secure, so the browser gives no lasting storage and no start without a line. Ask for the secure address: npm start -- --lan.',
      ),
    );
  }
  if (!keeping.isInstalled) {
    missing.push(
      say(
        'Mullion is not installed on this phone: some phones clear what a page keeps after some days. Install it.',
      ),
    );
  }
  if (keeping.isPersistent !== true) {
    missing.push(
      keeping.isPersistent === null
        ? say('This browser makes no promise to keep what a page stores.')
        : say(
            'The browser may clear this storage when the phone runs short. It was asked to keep it and did not agree; it often does once Mullion is installed.',
          ),
    );
  }
  return { isSafe: missing.length === 0, missing };
}
