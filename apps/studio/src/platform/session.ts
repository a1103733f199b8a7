import { createContext, useContext } from 'react';
import type { ArchiveState, Me } from './api/state.js';

export interface Session {
  readonly state: ArchiveState;
  readonly me: Me;
  /** asks the archive again who one is */
  readonly again: () => void;
}

export const SessionContext = createContext<Session | null>(null);

/** Who is signed in; only used below the door. */
export function useSession(): Session {
  const session = useContext(SessionContext);
  if (!session) throw new Error('useSession is used outside the door');
  return session;
}
