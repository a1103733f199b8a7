import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex } from '@noble/hashes/utils.js';
import { Upload } from 'tus-js-client';
import type { LightKind, MediaKind, Stage } from '../platform/api/media.js';
import { say } from '../platform/language/say.js';
import { sayEntryInLog } from '../platform/say-entry.js';

/** What is said of every picture of one sending. */
export interface Description {
  readonly siteId: string;
  readonly kind: MediaKind;
  readonly light: LightKind | null;
  readonly clockHour: number | null;
  readonly elevationDeg: number | null;
  readonly stage: Stage;
  /** null: a paper, which has none */
  readonly face: 'inside' | 'outside' | null;
  readonly layer: 'front' | 'back' | null;
  readonly subjects: readonly string[];
  readonly author: string;
  readonly happened: string;
  readonly note: string;
}

export type SendState =
  | { readonly is: 'here' }
  | { readonly is: 'sending'; readonly ratio: number }
  | { readonly is: 'paused'; readonly ratio: number }
  | {
      readonly is: 'kept';
      readonly mediaId: string | null;
      /** as people cite it */
      readonly entry: string | null;
      /** the same bytes lay there before: nothing was stored twice */
      readonly already: boolean;
      /** the archive's digest equals the one computed here before sending */
      readonly sameBytes: boolean | null;
    }
  | { readonly is: 'refused'; readonly why: string };

/** The metadata keys of the upload contract; empty members are left out. */
export function metadataOf(
  file: Pick<File, 'name'>,
  description: Description,
): Record<string, string> {
  const raking = description.light === 'raking';
  const members: Record<string, string | null> = {
    siteId: description.siteId,
    fileName: file.name,
    kind: description.kind,
    light: description.kind === 'photograph' ? description.light : null,
    clockHour: raking && description.clockHour !== null ? String(description.clockHour) : null,
    elevationDeg:
      raking && description.elevationDeg !== null ? String(description.elevationDeg) : null,
    stage: description.stage,
    face: description.face,
    layer: description.layer,
    subjects: description.subjects.join(','),
    author: description.author,
    happened: description.happened,
    note: description.note,
  };
  return Object.fromEntries(
    Object.entries(members).filter(
      (entry): entry is [string, string] => entry[1] !== null && entry[1] !== '',
    ),
  );
}

/** sha256 of a file, read in pieces so that a large scan does not fill the memory. */
export async function digestOf(file: Blob): Promise<string> {
  const hash = sha256.create();
  const reader = (file.stream() as ReadableStream<Uint8Array>).getReader();
  for (;;) {
    const { done, value } = await reader.read();
    if (done) break;
    hash.update(value);
  }
  return `sha256:${bytesToHex(hash.digest())}`;
}

export interface Sending {
  readonly pause: () => void;
  readonly resume: () => void;
}

/** Sends one file by tus 1.0; the last piece attaches it in the same step. */
export function send(
  file: File,
  description: Description,
  onState: (state: SendState) => void,
): Sending {
  let ratio = 0;
  let mediaId: string | null = null;
  let entry: string | null = null;
  let digest: string | null = null;
  let already = false;
  const expected = digestOf(file);
  const upload = new Upload(file, {
    endpoint: '/v1/uploads',
    chunkSize: 16 * 1024 * 1024,
    retryDelays: [0, 1000, 3000, 8000],
    metadata: metadataOf(file, description),
    removeFingerprintOnSuccess: true,
    onAfterResponse: (_request, response) => {
      mediaId = response.getHeader('Mullion-Media-Id') ?? mediaId;
      digest = response.getHeader('Mullion-Digest') ?? digest;
      already = already || response.getHeader('Mullion-Already') === 'true';
      entry = citedEntry(response.getHeader('Mullion-Entry')) ?? entry;
    },
    onProgress: (sent, total) => {
      ratio = total === 0 ? 0 : sent / total;
      onState({ is: 'sending', ratio });
    },
    onSuccess: () => {
      void expected.then((mine) => {
        onState({
          is: 'kept',
          mediaId,
          entry,
          already,
          sameBytes: digest === null ? null : digest === mine,
        });
      });
    },
    onError: (error) => {
      onState({ is: 'refused', why: refusal(error) });
    },
  });
  onState({ is: 'sending', ratio: 0 });
  upload.start();
  return {
    pause: () => {
      void upload.abort().then(() => {
        onState({ is: 'paused', ratio });
      });
    },
    resume: () => {
      onState({ is: 'sending', ratio });
      upload.start();
    },
  };
}

/** The archive's own sentence out of a failed answer. */
function refusal(error: unknown): string {
  const response = (error as { originalResponse?: { getBody(): string } | null }).originalResponse;
  try {
    const problem = JSON.parse(response?.getBody() ?? '') as { detail?: string; title?: string };
    return problem.detail ?? problem.title ?? say('The archive refused this file.');
  } catch {
    return response
      ? say('The archive refused this file.')
      : say('The archive cannot be reached. The file is still here; try again.');
  }
}

/** @param named `LOG/NUMBER`, as the answer's header names the entry */
function citedEntry(named: string | undefined): string | undefined {
  const [logId, seq] = named?.split('/') ?? [];
  return logId === undefined || seq === undefined ? undefined : sayEntryInLog(logId, Number(seq));
}
