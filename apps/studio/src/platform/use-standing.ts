import { useEffect, useState } from 'react';

/** Newest value about a thing: while the next one is asked for, the one before it stands, and what was typed beside it. */
export function useStanding<T>(about: string, value: T | undefined): T | undefined {
  const [kept, setKept] = useState<{ readonly about: string; readonly value: T }>();
  const last = kept?.about === about ? kept.value : undefined;
  if (value !== undefined && value !== last) setKept({ about, value });
  return value ?? last;
}

/** What is typed, once the hand rests: what it asks for costs the server too much for each key. */
export function useRested<T>(value: T, restMs = 500): T {
  const [rested, setRested] = useState(value);
  useEffect(() => {
    const waiting = setTimeout(() => {
      setRested(value);
    }, restMs);
    return () => {
      clearTimeout(waiting);
    };
  }, [value, restMs]);
  return rested;
}
