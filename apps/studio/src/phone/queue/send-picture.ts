/** Sends one picture by tus 1.0, from where an earlier try ended. */
import { Upload } from 'tus-js-client';
import { say } from '../../platform/language/say.js';
import { metadataOf } from '../../upload/sending.js';
import type { Picture, Receipt } from './picture.js';

const PART_BYTES = 4 * 1024 * 1024;

export type SendOutcome =
  | { readonly kind: 'received'; readonly receipt: Receipt }
  /** the line or the server broke: the same again later */
  | { readonly kind: 'failed'; readonly why: string; readonly isLine: boolean }
  /** nobody is signed in on this phone */
  | { readonly kind: 'signed-out' }
  /** the bytes that arrived were others than announced: from the start again */
  | { readonly kind: 'begin-anew'; readonly why: string }
  /** the archive says no, and would again */
  | { readonly kind: 'refused'; readonly why: string };

/** Answers after which the same request may go through later: RFC 9110 and RFC 6585, and tus' own. */
export const PASSING: ReadonlySet<number> = new Set([408, 409, 412, 421, 423, 425, 429]);

/**
 * @param onBegun told the upload's address before its first byte goes
 * @param onRatio told how much is there, 0 to 1
 */
export function sendPicture(
  picture: Picture,
  bytes: Blob,
  {
    onBegun,
    onRatio,
    signal,
  }: {
    readonly onBegun: (uploadUrl: string) => Promise<unknown>;
    readonly onRatio: (ratio: number) => void;
    readonly signal: AbortSignal;
  },
): Promise<SendOutcome> {
  const said: Record<string, string> = {};
  const { job, uploadUrl } = picture;
  return new Promise((resolve) => {
    const upload = new Upload(bytes, {
      endpoint: '/v1/uploads',
      uploadUrl,
      chunkSize: PART_BYTES,
      retryDelays: null,
      storeFingerprintForResuming: false,
      headers: { 'Idempotency-Key': picture.id },
      metadata: {
        ...metadataOf(
          { name: picture.fileName },
          { ...job, subjects: [job.mark], happened: picture.takenAt },
        ),
        ...(picture.sha256 === null ? {} : { sha256: picture.sha256 }),
      },
      onUploadUrlAvailable: () => {
        // lost, it costs nothing: the same key begins the same upload again
        void onBegun(upload.url ?? '');
      },
      onAfterResponse: (_request, response) => {
        for (const name of ['Mullion-Media-Id', 'Mullion-Digest', 'Mullion-Entry'])
          said[name] = response.getHeader(name) ?? said[name] ?? '';
      },
      onProgress: (sent, total) => {
        onRatio(total === 0 ? 0 : sent / total);
      },
      onSuccess: () => {
        const receipt = receiptOf(said);
        resolve(
          receipt === undefined
            ? { kind: 'failed', why: say('The archive gave no receipt.'), isLine: false }
            : { kind: 'received', receipt },
        );
      },
      onError: (error) => {
        resolve(outcomeOf(error));
      },
    });
    const stop = () => {
      void upload.abort().then(() => {
        resolve({ kind: 'failed', why: say('Sending was broken off.'), isLine: true });
      });
    };
    if (signal.aborted) {
      resolve({ kind: 'failed', why: say('Sending was broken off.'), isLine: true });
      return;
    }
    signal.addEventListener('abort', stop, { once: true });
    upload.start();
  });
}

function receiptOf(said: Readonly<Record<string, string>>): Receipt | undefined {
  const [logId = '', seq = ''] = (said['Mullion-Entry'] ?? '').split('/');
  const mediaId = said['Mullion-Media-Id'] ?? '';
  const digest = said['Mullion-Digest'] ?? '';
  if (logId === '' || !/^\d+$/.test(seq) || mediaId === '' || digest === '') return undefined;
  return { mediaId, logId, seq: Number(seq), digest };
}

function outcomeOf(error: unknown): SendOutcome {
  const response = (
    error as { originalResponse?: { getStatus(): number; getBody(): string } | null }
  ).originalResponse;
  const status = response?.getStatus() ?? 0;
  const why = sentenceOf(response?.getBody() ?? '');
  if (status === 401) return { kind: 'signed-out' };
  if (status === 460) return { kind: 'begin-anew', why };
  const isDone = status === 403 && why.includes('upload is complete');
  if (status < 400 || status >= 500 || PASSING.has(status) || isDone) {
    return {
      kind: 'failed',
      why: status === 0 ? say('The archive cannot be reached.') : why,
      isLine: status === 0,
    };
  }
  return { kind: 'refused', why };
}

/** The archive's own sentence out of a problem document. */
function sentenceOf(body: string): string {
  try {
    const problem = JSON.parse(body) as { detail?: string; title?: string };
    return problem.detail ?? problem.title ?? say('The archive could not take this picture.');
  } catch {
    return say('The archive could not take this picture.');
  }
}
