import { useEffect, useRef } from 'react';

/** What a key does; gets the event, so that Shift can mean more. */
export type Keys = Readonly<Record<string, (event: KeyboardEvent) => void>>;

/**
 * Single keys of a room: not while something is typed, nor with Ctrl, Alt or Meta held, and only when
 * they are switched on (WCAG 2.2, 2.1.4).
 */
export function useKeys(keys: Keys, on: boolean): void {
  const latest = useRef(keys);
  useEffect(() => {
    latest.current = keys;
  });
  useEffect(() => {
    if (!on) return;
    const hear = (event: KeyboardEvent) => {
      const target = event.target as HTMLElement | null;
      if (target?.closest('input, textarea, select, .bar')) return;
      if (event.ctrlKey || event.metaKey || event.altKey) {
        const undoing = event.key.toLowerCase() === 'z' && !event.altKey;
        if (!undoing) return;
      }
      const act = latest.current[event.key.length === 1 ? event.key.toLowerCase() : event.key];
      if (!act) return;
      // A focused button is pressed by Enter or Space, whatever else these mean at the board.
      if (target?.closest('button, a') && (event.key === 'Enter' || event.key === ' ')) return;
      event.preventDefault();
      event.stopPropagation();
      act(event);
    };
    // Before the map's own keys: arrows move what is chosen, and only else the drawing.
    window.addEventListener('keydown', hear, { capture: true });
    return () => {
      window.removeEventListener('keydown', hear, { capture: true });
    };
  }, [on]);
}
