import { useEffect, useMemo } from 'react';
import { LedgerGate } from './ledger/LedgerGate.js';
import { readState } from './platform/api/state.js';
import { SessionContext } from './platform/session.js';
import { useAnswer } from './platform/use-answer.js';
import { Rooms } from './Rooms.js';
import { Door } from './welcome/Door.js';

/** The door first; behind it, the rooms. */
export function Studio() {
  const state = useAnswer('state', readState);
  const { value, again } = state;
  const waiting = value === undefined || value.seeding !== null;

  useEffect(() => {
    if (!waiting) return;
    const timer = setInterval(again, 1500);
    return () => {
      clearInterval(timer);
    };
  }, [waiting, again]);

  const session = useMemo(
    () => (value?.me ? { state: value, me: value.me, again } : null),
    [value, again],
  );
  if (session && value?.seeding === null)
    return (
      <SessionContext value={session}>
        <LedgerGate>
          <Rooms />
        </LedgerGate>
      </SessionContext>
    );
  return <Door state={value} why={state.why} again={again} />;
}
