import { useEffect, useRef } from 'react';

/** What single keys do on a screen; `down` and `up` for a key that is held. */
export type Keys = Readonly<Record<string, { down: () => void; up?: () => void }>>;

/**
 * Single keys of a room, by `KeyboardEvent.key` in lower case. Typing into a field is left alone, and so
 * is every key with Control, Alt or the command key.
 */
export function useKeys(keys: Keys): void {
  const current = useRef(keys);
  useEffect(() => {
    current.current = keys;
  });
  useEffect(() => {
    const leaving = new AbortController();
    const { signal } = leaving;
    const known = (event: KeyboardEvent) => {
      const target = event.target as HTMLElement | null;
      if (event.ctrlKey || event.altKey || event.metaKey) return undefined;
      if (target?.closest('input:not([type="range"]), textarea, select')) return undefined;
      return current.current[event.key.toLowerCase()];
    };
    window.addEventListener(
      'keydown',
      (event) => {
        const act = known(event);
        if (!act) return;
        event.preventDefault();
        if (!event.repeat) act.down();
      },
      { signal },
    );
    window.addEventListener('keyup', (event) => known(event)?.up?.(), { signal });
    // A key that is still held when the window loses the keyboard is never let go.
    window.addEventListener(
      'blur',
      () => {
        for (const act of Object.values(current.current)) act.up?.();
      },
      { signal },
    );
    return () => {
      leaving.abort();
    };
  }, []);
}
