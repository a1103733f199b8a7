/** Putting the studio on the phone's home screen, where the browser offers it. */
import { useSyncExternalStore } from 'react';

interface InstallOffer extends Event {
  prompt(): Promise<unknown>;
}

let offer: InstallOffer | null = null;
const listeners = new Set<() => void>();

window.addEventListener('beforeinstallprompt', (event) => {
  event.preventDefault();
  offer = event as InstallOffer;
  for (const listener of listeners) listener();
});

/** The browser's own question; null where it has none (an iPhone's is in its share sheet). */
export function useInstallOffer(): (() => void) | null {
  const made = useSyncExternalStore(
    (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    () => offer,
  );
  return made === null ? null : () => void made.prompt();
}
