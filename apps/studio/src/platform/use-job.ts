import { useEffect, useRef, useState } from 'react';
import { followJob, type JobProgress } from './api/jobs.js';
import { say } from './language/say.js';
import { reason } from './use-answer.js';

export interface FollowedJob {
  /** where it is, or was when it was done; null: nothing is followed, or it failed */
  readonly progress: JobProgress | null;
  /** why it failed, in a sentence */
  readonly failed: string | undefined;
}

interface Known {
  readonly jobId: string;
  readonly progress: JobProgress | null;
  readonly failed?: string;
}

/**
 * Follows a job of the worker while this stands on the screen. A job that is new begins anew.
 * @param jobId null: nothing is awaited
 * @param onDone gets the job's result, once
 * @param failedWords where the job itself says nothing
 */
export function useJob(
  jobId: string | null,
  onDone: (result: Readonly<Record<string, unknown>>) => void,
  failedWords: string,
): FollowedJob {
  const [known, setKnown] = useState<Known | null>(null);
  const done = useRef(onDone);
  useEffect(() => {
    done.current = onDone;
  });
  useEffect(() => {
    if (jobId === null) return;
    const leaving = new AbortController();
    const fail = (failed: string) => {
      setKnown({ jobId, progress: null, failed });
    };
    followJob(
      jobId,
      (progress) => {
        setKnown({ jobId, progress });
      },
      leaving.signal,
    ).then(
      (end) => {
        if (end.done) done.current(end.result);
        else fail(end.problem.detail ?? end.problem.title ?? failedWords);
      },
      (error: unknown) => {
        if (!leaving.signal.aborted) fail(reason(error));
      },
    );
    return () => {
      leaving.abort();
    };
  }, [jobId, failedWords]);
  if (jobId === null) return { progress: null, failed: undefined };
  if (known?.jobId !== jobId)
    return { progress: { stage: say('waiting for the worker'), ratio: 0 }, failed: undefined };
  return { progress: known.progress, failed: known.failed };
}
