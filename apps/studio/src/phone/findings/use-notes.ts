import { useEffect, useState } from 'react';
import { changes } from '../queue/queue-store.js';
import type { KnownPerson } from '../remembered.js';
import { type KnownPanel, knownPanel, rememberPanel } from './known-panel.js';
import { readNotes } from './note-store.js';
import type { NotedFinding } from './noted.js';
import { startNotes } from './send-notes.js';

/** The findings on this device, kept in step with every tab; those that wait are sent while somebody is signed in. */
export function useNotes(
  person: KnownPerson | null,
  isConnected: boolean,
): readonly NotedFinding[] {
  const [notes, setNotes] = useState<readonly NotedFinding[]>([]);
  useEffect(() => {
    const leaving = new AbortController();
    const look = () => {
      readNotes().then(
        (read) => {
          if (!leaving.signal.aborted) setNotes(read);
        },
        () => undefined, // the queue of pictures tells what this browser cannot store
      );
    };
    changes.addEventListener('changed', look, { signal: leaving.signal });
    look();
    return () => {
      leaving.abort();
    };
  }, []);
  const archiveId = person?.archiveId;
  const isDemo = person?.isDemo ?? false;
  useEffect(() => {
    if (archiveId === undefined || !isConnected) return;
    const leaving = new AbortController();
    startNotes({ archiveId, isDemo }, leaving.signal);
    return () => {
      leaving.abort();
    };
  }, [archiveId, isDemo, isConnected]);
  return notes;
}

/**
 * A panel as it is known here, read anew whenever the archive can be asked.
 *
 * @param turn counts what was written into it meanwhile
 */
export function useKnownPanel(
  archiveId: string | null,
  mark: string,
  isConnected: boolean,
  turn: number,
): { readonly panel: KnownPanel | null; readonly isLooking: boolean } {
  const [state, setState] = useState<{
    mark: string;
    panel: KnownPanel | null;
    isLooking: boolean;
  }>({ mark: '', panel: null, isLooking: true });
  useEffect(() => {
    if (archiveId === null || mark === '') return;
    const { signal, ...leaving } = aborting();
    const put = (panel: KnownPanel | undefined, isLooking: boolean) => {
      if (!signal.aborted)
        setState((before) => ({
          mark,
          panel: panel ?? (before.mark === mark ? before.panel : null),
          isLooking,
        }));
    };
    void (async () => {
      put(await knownPanel(archiveId, mark).catch(() => undefined), isConnected);
      if (!isConnected) return;
      // Without an answer what is known here stays.
      put(await rememberPanel(archiveId, mark, signal).catch(() => undefined), false);
    })();
    return leaving.abort;
  }, [archiveId, mark, isConnected, turn]);
  return state.mark === mark ? state : { panel: null, isLooking: true };
}

function aborting() {
  const controller = new AbortController();
  return {
    signal: controller.signal,
    abort: () => {
      controller.abort();
    },
  };
}
