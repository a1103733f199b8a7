import { useEffect, useState } from 'react';
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
  const wanted = near.filter(
    (windowId) =>
      !kept.has(windowId) &&
      details?.get(windowId)?.panels.some((panel) => panel.netRevision !== null),
  );
  const key = wanted.join(' ');
  useEffect(() => {
    const leaving = new AbortController();
    for (const windowId of key.split(' ').filter((id) => id !== ''))
      readOutline(windowId, leaving.signal).then(
        (outlines) => {
          setKept((before) => new Map(before).set(windowId, outlines));
        },
        // The panels show their state without it; the next coming near asks again.
        () => undefined,
      );
    return () => {
      leaving.abort();
    };
  }, [key]);
  return kept;
}
