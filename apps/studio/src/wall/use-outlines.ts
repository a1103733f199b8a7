import { useEffect, useRef, useState } from 'react';
import type { NamedOutline } from '#libs/elevation';
import { readOutline, type WindowAnswer } from '../platform/api/windows.js';

type Outlines = ReadonlyMap<string, readonly NamedOutline[]>;

const none: Outlines = new Map();

/**
 * The lead drawings of the windows that one has come near; what was asked for once stays.
 * A window without a single drawing is not asked for.
 */
export function useOutlines(
  near: readonly string[],
  details: ReadonlyMap<string, WindowAnswer> | undefined,
): Outlines {
  const [kept, setKept] = useState<Outlines>(none);
  const asked = useRef(new Set<string>());
  const leaving = useRef(new AbortController());
  useEffect(() => {
    const here = new AbortController();
    leaving.current = here;
    return () => {
      here.abort();
    };
  }, []);
  useEffect(() => {
    for (const windowId of near) {
      const panels = details?.get(windowId)?.panels ?? [];
      if (asked.current.has(windowId) || panels.every(({ netRevision }) => netRevision === null))
        continue;
      asked.current.add(windowId);
      readOutline(windowId, leaving.current.signal).then(
        (outlines) => {
          setKept((before) => new Map(before).set(windowId, outlines));
        },
        () => {
          // The panels show their state without it; the next coming near asks again.
          asked.current.delete(windowId);
        },
      );
    }
  }, [near, details]);
  return kept;
}
