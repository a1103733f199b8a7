import { useMemo, useSyncExternalStore } from 'react';
import { type Place, parsePlace } from './place.js';

const listeners = new Set<() => void>();
const tell = () => {
  for (const listener of listeners) listener();
};
const subscribe = (listener: () => void) => {
  listeners.add(listener);
  window.addEventListener('popstate', listener);
  return () => {
    listeners.delete(listener);
    window.removeEventListener('popstate', listener);
  };
};

/** Goes to a path of the studio and leaves the last one in the history. */
export function goTo(path: string): void {
  window.history.pushState(null, '', path);
  tell();
}

/** Changes the query only; moving a view about leaves no trail in the history. */
export function setWords(words: Readonly<Record<string, string | null>>): void {
  noteWords(words);
  tell();
}

/** Changes the query for a link alone: what is on the screen says so already, and need not be told. */
export function noteWords(words: Readonly<Record<string, string | null>>): void {
  const url = new URL(window.location.href);
  for (const [name, value] of Object.entries(words))
    if (value === null) url.searchParams.delete(name);
    else url.searchParams.set(name, value);
  window.history.replaceState(null, '', url);
}

export interface Here {
  readonly place: Place;
  readonly words: URLSearchParams;
}

/** The place and the query, kept in step with the address bar. */
export function useHere(): Here {
  const href = useSyncExternalStore(
    subscribe,
    () => window.location.pathname + window.location.search,
  );
  return useMemo(() => {
    const url = new URL(href, 'http://studio.invalid');
    return { place: parsePlace(url.pathname), words: url.searchParams };
  }, [href]);
}
