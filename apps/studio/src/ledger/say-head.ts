/** A signed head in words for people, and as a file. */
import { parseCheckpoint, parseNote, parseOrigin } from '#libs/ledger';
import { manner } from '../platform/language/manner.js';
import { say } from '../platform/language/say.js';
import { dateLocale } from '../platform/language/tongue.js';

export interface SaidHead {
  readonly origin: string;
  readonly size: number;
  /** the root as its checkpoint writes it, in base64 */
  readonly root: string;
}

export function readHead(note: string): SaidHead | undefined {
  try {
    const { text } = parseNote(note);
    const { origin, size } = parseCheckpoint(text);
    return { origin, size, root: text.split('\n')[2]! };
  } catch {
    // a checkpoint that cannot be read is shown as none
    return undefined;
  }
}

/** 'the studio', 'site slm' */
export function sayLog(origin: string): string {
  const log = parseOrigin(origin)?.log;
  if (log === undefined) return origin;
  return log === 'studio'
    ? say('the studio')
    : say('the site {site}', { site: log.site.toUpperCase() });
}

/** A moment by this device's clock, to the minute. */
export function sayTime(rfc3339: string): string {
  const moment = new Date(rfc3339);
  if (manner().days === 'local')
    return moment.toLocaleString(dateLocale(), { dateStyle: 'long', timeStyle: 'short' });
  // Sweden writes days as ISO 8601 does, so the formatter's own words give it in local time.
  return moment.toLocaleString('sv-SE', { dateStyle: 'short', timeStyle: 'short' });
}

export const saveText = (name: string, text: string): void => {
  saveBlob(name, new Blob([text], { type: 'text/plain' }));
};

export const saveBytes = (name: string, bytes: Uint8Array<ArrayBuffer>): void => {
  saveBlob(name, new Blob([bytes], { type: 'application/octet-stream' }));
};

function saveBlob(name: string, blob: Blob): void {
  const url = URL.createObjectURL(blob);
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  link.click();
  setTimeout(() => {
    URL.revokeObjectURL(url);
  }, 10_000);
}

export const fileNameOf = (origin: string, size: number): string =>
  `checkpoint-${origin.split('/').slice(2).join('-')}-${size}.txt`;
