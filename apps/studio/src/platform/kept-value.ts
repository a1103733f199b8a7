import { useState } from 'react';

/**
 * A small choice that this browser remembers: the width of a brush, the words used last. What cannot be
 * read is as if it was never chosen.
 */
export function useKept<T>(
  place: string,
  first: T,
  isSound: (value: unknown) => value is T,
): readonly [T, (value: T) => void] {
  const [value, setValue] = useState(() => {
    try {
      const kept: unknown = JSON.parse(window.localStorage.getItem(place) ?? 'null');
      return isSound(kept) ? kept : first;
    } catch {
      return first;
    }
  });
  return [
    value,
    (next) => {
      setValue(next);
      try {
        window.localStorage.setItem(place, JSON.stringify(next));
      } catch {
        // A browser that keeps nothing still draws.
      }
    },
  ];
}
