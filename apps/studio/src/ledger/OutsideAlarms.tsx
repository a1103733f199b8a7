import { readOutside } from '../platform/api/ledger.js';
import { useAnswer } from '../platform/use-answer.js';
import { sayTime } from './say-head.js';

/** A witness that remembers more of this archive, or something else, than the archive shows. */
export function OutsideAlarms() {
  const { value } = useAnswer('outside', readOutside);
  if (value === undefined || value.alarms.length === 0) return null;
  return (
    <section className="paper stack" role="alert" aria-label="Alarm of a witness">
      <h1>A witness remembers otherwise</h1>
      {value.alarms.map(({ origin, witness, says, noticedAt }) => (
        <p key={`${origin} ${witness} ${noticedAt}`} className="refused">
          {says} Noticed on {sayTime(noticedAt)}.
        </p>
      ))}
      <p>
        Somebody set this archive back or rewrote it, or it was restored from an older backup. Enter
        nothing more; the keeper runs <code>mullion admin check</code> and asks the witness for the
        last checkpoint that it knows.
      </p>
    </section>
  );
}
