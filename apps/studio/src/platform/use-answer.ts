import { useCallback, useEffect, useState } from 'react';
import { say } from './language/say.js';

/** None yet, a value, or the reason why there is none; `again` asks once more. */
export interface Answer<T> {
  readonly value: T | undefined;
  readonly why: string | undefined;
  readonly error: unknown;
  readonly again: () => void;
}

interface Kept<T> {
  readonly key: string | null;
  readonly value?: T;
  readonly error?: unknown;
}

/**
 * Asks when `key` changes and keeps the answer of that key only: an answer about another thing is
 * no answer. `null` as key asks nothing. While asking again the old value stays on screen, also when that
 * fails; `why` says so.
 */
export function useAnswer<T>(
  key: string | null,
  ask: (signal: AbortSignal) => Promise<T>,
): Answer<T> {
  const [kept, setKept] = useState<Kept<T>>({ key: null });
  const [turn, setTurn] = useState(0);

  useEffect(() => {
    if (key === null) return;
    const leaving = new AbortController();
    ask(leaving.signal).then(
      (value) => {
        if (!leaving.signal.aborted) setKept({ key, value });
      },
      (error: unknown) => {
        // Asked again in vain, what was known is still known.
        if (!leaving.signal.aborted)
          setKept((before) => (before.key === key ? { ...before, error } : { key, error }));
      },
    );
    return () => {
      leaving.abort();
    };
    // `ask` is a new closure on every render; the key says when it means another thing.
  }, [key, turn]);

  const again = useCallback(() => {
    setTurn((before) => before + 1);
  }, []);
  const current = kept.key === key ? kept : undefined;
  return {
    value: current?.value,
    why: current && 'error' in current ? reason(current.error) : undefined,
    error: current?.error,
    again,
  };
}

/** A sentence for a person out of whatever was thrown. */
export function reason(error: unknown): string {
  if (error instanceof TypeError)
    return say('The archive cannot be reached. Nothing is lost; try again.');
  return error instanceof Error ? error.message : String(error);
}
