/** The studio's shell on this device: kept for starts without a line, and renewed when a page says so. */
import { useSyncExternalStore } from 'react';

export interface Shell {
  /** not here: this browser or address has no service worker */
  readonly is: 'not-here' | 'coming' | 'kept';
  /** a newer version lies ready and waits for its turn */
  readonly isNewerReady: boolean;
}

let shell: Shell = { is: 'not-here', isNewerReady: false };
let waiting: ServiceWorker | null = null;
let begun = false;
const listeners = new Set<() => void>();

function set(next: Shell): void {
  shell = next;
  for (const listener of listeners) listener();
}

/** Keeps the shell from here on; asking again does nothing. */
export function keepShell(): void {
  const { serviceWorker } = navigator as { serviceWorker?: ServiceWorkerContainer };
  if (begun || serviceWorker === undefined || import.meta.env.DEV) return;
  begun = true;
  set({ is: 'coming', isNewerReady: false });
  serviceWorker.register('/service-worker.js').then(
    (registration) => {
      const look = () => {
        waiting = registration.active === null ? null : registration.waiting;
        set({
          is: registration.active === null ? 'coming' : 'kept',
          isNewerReady: waiting !== null,
        });
      };
      const follow = (coming: ServiceWorker | null) => {
        coming?.addEventListener('statechange', look);
      };
      follow(registration.installing);
      registration.addEventListener('updatefound', () => {
        follow(registration.installing);
      });
      look();
    },
    () => {
      set({ is: 'not-here', isNewerReady: false });
    },
  );
}

/** Opens the page again in the newer version; only to be called while nothing is under way. */
export function takeNewer(): void {
  if (waiting === null) return;
  navigator.serviceWorker.addEventListener('controllerchange', () => {
    window.location.reload();
  });
  waiting.postMessage('take-over');
}

export function useShell(): Shell {
  return useSyncExternalStore(
    (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    () => shell,
  );
}
