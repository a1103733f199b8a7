import { readOutside } from '../platform/api/ledger.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { useAnswer } from '../platform/use-answer.js';
import { sayTime } from './say-head.js';

/** A witness that remembers more of this archive, or something else, than the archive shows. */
export function OutsideAlarms() {
  const { value } = useAnswer('outside', readOutside);
  if (value === undefined || value.alarms.length === 0) return null;
  return (
    <section className="paper stack" role="alert" aria-label={say('Alarm of a witness')}>
      <h1>{say('A witness remembers otherwise')}</h1>
      {value.alarms.map(({ origin, witness, says, noticedAt }) => (
        <p key={`${origin} ${witness} ${noticedAt}`} className="refused">
          {rich('{says} Noticed on {noticedAt}.', { says, noticedAt: sayTime(noticedAt) })}
        </p>
      ))}
      <p>
        {rich(
          'Somebody set this archive back or rewrote it, or it was restored from an older backup. Enter nothing more; the keeper runs {code} and asks the witness for the last checkpoint that it knows.',
          { code: <code>mullion admin check</code> },
        )}
      </p>
    </section>
  );
}
