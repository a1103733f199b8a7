import { lazy, Suspense, useEffect, useMemo } from 'react';
import { LedgerGate } from './ledger/LedgerGate.js';
import { readState } from './platform/api/state.js';
import { useHere } from './platform/navigate.js';
import { SessionContext } from './platform/session.js';
import { useAnswer } from './platform/use-answer.js';
import { Rooms } from './Rooms.js';

// Who is signed in needs no door.
const Door = lazy(async () => ({ default: (await import('./welcome/Door.js')).Door }));
const PhoneRoom = lazy(async () => ({
  default: (await import('./phone/PhoneRoom.js')).PhoneRoom,
}));

/** The phone's room works without a line; everything else lies behind the door. */
export function Studio() {
  const { place } = useHere();
  if (place.on !== 'phone') return <House />;
  return (
    <Suspense fallback={null}>
      <PhoneRoom />
    </Suspense>
  );
}

/** The door first; behind it, the rooms. */
function House() {
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
  return (
    <Suspense fallback={null}>
      {value || state.why ? <Door state={value} why={state.why} again={again} /> : null}
    </Suspense>
  );
}
