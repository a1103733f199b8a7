import { say } from '../language/say.js';
import type { Problem } from './request.js';

export interface JobProgress {
  readonly stage: string;
  readonly ratio: number;
}

export type JobEnd =
  | { readonly done: true; readonly result: Readonly<Record<string, unknown>> }
  | { readonly done: false; readonly problem: Problem };

/**
 * Follows a job by server-sent events until it is done or has failed. A broken line is taken up
 * again by the browser itself; the promise settles once.
 */
export function followJob(
  jobId: string,
  onProgress: (progress: JobProgress) => void,
  signal: AbortSignal,
): Promise<JobEnd> {
  return new Promise((resolve, reject) => {
    const line = new EventSource(`/v1/jobs/${jobId}/events`);
    const finish = (end: JobEnd) => {
      line.close();
      resolve(end);
    };
    signal.addEventListener('abort', () => {
      line.close();
      reject(signal.reason instanceof Error ? signal.reason : new Error('left'));
    });
    line.addEventListener('error', () => {
      // Anything but a broken line, which the browser mends by itself, ends here.
      if (line.readyState === EventSource.CLOSED)
        reject(
          new Error(say('The archive no longer tells of this work; look at the bench again.')),
        );
    });
    line.addEventListener('progress', (event: MessageEvent<string>) => {
      onProgress(JSON.parse(event.data) as JobProgress);
    });
    line.addEventListener('done', (event: MessageEvent<string>) => {
      const data = JSON.parse(event.data) as { result?: Record<string, unknown> };
      finish({ done: true, result: data.result ?? data });
    });
    line.addEventListener('failed', (event: MessageEvent<string>) => {
      const data = JSON.parse(event.data) as { problem?: Problem };
      finish({ done: false, problem: data.problem ?? data });
    });
  });
}
