import './backups.css';
import { type Kept, readSafekeeping, type Safekeeping } from '../platform/api/backups.js';
import { mayDo } from '../platform/api/state.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { useSession } from '../platform/session.js';
import { useAnswer } from '../platform/use-answer.js';

/** Something is lost already, or would be with the next accident although somebody cared for it. */
const ALARMING = ['failing', 'lossy', 'damaged', 'owed'];

/** What the start page tells the studio's keepers; nothing in the demo, which may be thrown away. */
export function useSafekeeping(): Safekeeping | undefined {
  const { state, me } = useSession();
  const isAsked = !state.demo && mayDo(me, null, 'keeper');
  return useAnswer(isAsked ? 'safekeeping' : null, readSafekeeping).value;
}

/** What cannot wait, above all else. */
export function SafekeepingAlarms({ of }: { of: Safekeeping | undefined }) {
  if (of === undefined) return null;
  const alarms = [of, of.drill, of.scrub, of.replica].filter(isAlarm);
  return alarms.map(({ says, doThis }) => {
    const [first, ...more] = says.split(/(?<=\.) /);
    return (
      <div key={says} className="caution safekeeping" role="note">
        <b>{first}</b>
        <span>{more.join(' ')}</span>
        <Doing words={doThis} />
      </div>
    );
  });
}

/** When the archive was last copied, and when all of it was last read again: one quiet line each. */
export function SafekeepingLines({ of }: { of: Safekeeping | undefined }) {
  if (of === undefined) return null;
  const { drill, scrub, replica } = of;
  // before there is a backup nobody can try one; what was stored yesterday need not be read again
  const copies = of.state === 'none' ? [of] : [of, drill];
  const readings = [
    ...(scrub.endedAt === null && scrub.state === 'good' ? [] : [scrub]),
    ...(replica.state === 'none' ? [] : [replica]),
  ];
  return (
    <section className="safekeeping" aria-label={say('Safekeeping')}>
      <Line of={copies} />
      <Line of={readings} />
    </section>
  );
}

function Line({ of }: { of: readonly Kept[] }) {
  const quiet = of.filter((one) => !isAlarm(one));
  if (quiet.length === 0) return null;
  return (
    <p className="hint">
      {quiet.map(({ says, doThis }) => (
        <span key={says}>
          {says} <Doing words={doThis} />
        </span>
      ))}
    </p>
  );
}

function Doing({ words }: { words: string | null }) {
  return words === null ? null : (
    <span className="to-do">{rich('To do: {words}. ', { words })}</span>
  );
}

function isAlarm({ state }: Kept): boolean {
  return ALARMING.includes(state);
}
