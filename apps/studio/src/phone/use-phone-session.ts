import { useCallback, useEffect, useState } from 'react';
import { Refused } from '../platform/api/request.js';
import { readState, signIn } from '../platform/api/state.js';
import { say } from '../platform/language/say.js';
import { takePairingCode } from './pairing-code.js';
import {
  type KnownPanels,
  type KnownPerson,
  knownPanels,
  knownPerson,
  rememberPanels,
  rememberPerson,
} from './remembered.js';

export interface PhoneSession {
  readonly is: 'looking' | 'connected' | 'no-line' | 'signed-out';
  /** who was signed in here last */
  readonly person: KnownPerson | null;
  readonly panels: KnownPanels | null;
  /** the code that this page was opened with was refused, and why */
  readonly why: string | null;
  readonly again: () => void;
}

const noLineForCode = say(
  'The archive could not be reached with this code. Show a new one on the desk and open that.',
);

/** Looks for the archive again this often while the line is gone. */
const LOOK_MS = 15_000;

/** Who uses this phone: from the archive where it answers, else as it was known last. */
export function usePhoneSession(): PhoneSession {
  const [session, setSession] = useState<Omit<PhoneSession, 'again'>>({
    is: 'looking',
    person: null,
    panels: null,
    why: null,
  });
  const [turn, setTurn] = useState(0);
  const again = useCallback(() => {
    setTurn((before) => before + 1);
  }, []);

  useEffect(() => {
    const leaving = new AbortController();
    const { signal } = leaving;
    const set = (found: Partial<Omit<PhoneSession, 'again'>>) => {
      if (!signal.aborted) setSession((before) => ({ ...before, ...found }));
    };
    void (async () => {
      set({ person: (await knownPerson()) ?? null, panels: (await knownPanels()) ?? null });
      try {
        const code = takePairingCode();
        if (code !== null) await signIn({ pairing: code });
      } catch (error) {
        set({ why: error instanceof Refused ? error.message : noLineForCode });
      }
      try {
        const state = await readState(signal);
        if (state.me === null) {
          set({ is: 'signed-out' });
          return;
        }
        set({ is: 'connected', person: await rememberPerson(state, state.me) });
        set({ panels: await rememberPanels(state.archive.id, signal) });
      } catch (error) {
        // what was read keeps its value; without an answer the line is gone
        if (!signal.aborted && !(error instanceof Refused)) set({ is: 'no-line' });
      }
    })();
    return () => {
      leaving.abort();
    };
  }, [turn]);

  useEffect(() => {
    window.addEventListener('online', again);
    const timer = session.is === 'no-line' ? setInterval(again, LOOK_MS) : undefined;
    return () => {
      window.removeEventListener('online', again);
      clearInterval(timer);
    };
  }, [again, session.is]);
  return { ...session, again };
}
