/** A signed head in words for people, and as a file. */
import { parseCheckpoint, parseNote, parseOrigin } from '#libs/ledger';

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
  return log === 'studio' ? 'the studio' : `the site ${log.site.toUpperCase()}`;
}

export const sayTime = (rfc3339: string): string =>
  new Date(rfc3339).toLocaleString('en-GB', { dateStyle: 'long', timeStyle: 'short' });

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
