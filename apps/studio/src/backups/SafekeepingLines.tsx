import './backups.css';
import { type Kept, readSafekeeping } from '../platform/api/backups.js';
import { mayDo } from '../platform/api/state.js';
import { useSession } from '../platform/session.js';
import { useAnswer } from '../platform/use-answer.js';

/** Something is lost already, or would be with the next accident although somebody cared for it. */
const ALARMING = ['failing', 'lossy', 'damaged', 'owed'];

/**
 * On the start page, for the studio's keepers: when the archive was last copied and last read again.
 * The demo may be thrown away.
 */
export function SafekeepingLines() {
  const { state, me } = useSession();
  const isAsked = !state.demo && mayDo(me, null, 'keeper');
  const { value } = useAnswer(isAsked ? 'safekeeping' : null, readSafekeeping);
  if (value === undefined) return null;
  const { drill, scrub, replica } = value;
  return (
    <section className="safekeeping" aria-label="Safekeeping">
      {/* before there is a backup nobody can try one */}
      <Line of={value.state === 'none' ? [value] : [value, drill]} />
      <Line of={replica.state === 'none' ? [scrub] : [scrub, replica]} />
    </section>
  );
}

/** One quiet line of all that is well; what is not stands by itself, with what to do. */
function Line({ of }: { of: readonly Kept[] }) {
  const alarms = of.filter(({ state }) => ALARMING.includes(state));
  const quiet = of.filter((one) => !alarms.includes(one));
  return (
    <>
      {alarms.map(({ says, doThis }) => (
        <div key={says} className="caution" role="note">
          <b>{says}</b>
          <Doing words={doThis} />
        </div>
      ))}
      {quiet.length > 0 ? (
        <p className="hint">
          {quiet.map(({ says, doThis }) => (
            <span key={says}>
              {says} <Doing words={doThis} />
            </span>
          ))}
        </p>
      ) : null}
    </>
  );
}

function Doing({ words }: { words: string | null }) {
  if (words === null) return null;
  return <span className="to-do">To do: {words.replace(/[.;]?$/, '.')} </span>;
}
