import { type SubmitEvent, useState } from 'react';
import { eraseName, erasePerson, type NameTraces, type Person } from '../platform/api/people.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { Refusal } from '../platform/Refusal.js';
import { TextField } from '../platform/TextField.js';
import { useAct } from '../platform/use-act.js';

/**
 * What erasing does and what it cannot do, told before it is done; then the reason. For a person of
 * the studio, or for a name without an account.
 */
export function EraseName({
  of,
  traces,
  onDone,
  onLeave,
}: {
  of: Person | { readonly name: string };
  traces: NameTraces;
  onDone: () => void;
  onLeave: () => void;
}) {
  const [reason, setReason] = useState('');
  const [spellings, setSpellings] = useState('');
  const { busy, why, field, run } = useAct();
  const submit = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      if ('personId' in of) {
        const otherSpellings = spellings
          .split(',')
          .map((one) => one.trim())
          .filter((one) => one !== '');
        await erasePerson(of.personId, { reason, otherSpellings });
      } else {
        await eraseName({ name: of.name, reason });
      }
      onDone();
    });
  };
  const marks = [...new Set(traces.texts.map(({ subject }) => subject))];
  return (
    <form className="stack" onSubmit={submit}>
      <div className="caution" role="note">
        <p>
          {rich(
            '<b>This cannot be undone.</b>The key that opens the name is destroyed. Every entry stays as it is. {traces} ',
            { b: (words) => <b>{words}</b>, traces: sayPlaces(traces) },
          )}
          {'personId' in of
            ? say('The list of people shows a pseudonym, and nobody can sign in as this person.')
            : ''}
        </p>
        <p>
          {say(
            'It does not reach what has left the archive: printed records, dossiers handed out{dossiers}, backups until their next run.',
            {
              dossiers:
                traces.dossiers > 0
                  ? say(' ({dossiers} were written here)', { dossiers: traces.dossiers })
                  : '',
            },
          )}
        </p>
        {marks.length > 0 ? (
          <p>
            {say('Notes that hold the name stay as they were written: {value}', {
              value: marks.slice(0, 12).join(', '),
            })}
            {marks.length > 12 ? say(' and {marks} more', { marks: marks.length - 12 }) : ''}.
          </p>
        ) : null}
      </div>
      {'personId' in of ? (
        <TextField
          label={say('Other spellings')}
          hint={say(
            'As the person is named on pictures, rubbings and work; separated by commas. They are not kept.',
          )}
          value={spellings}
          onValue={setSpellings}
        />
      ) : null}
      <TextField
        label={say('Why?')}
        hint={say('Stays in the ledger for ever: say why without saying who.')}
        required
        aria-invalid={field === 'reason'}
        value={reason}
        onValue={setReason}
      />
      <div className="row">
        <button type="submit" disabled={busy}>
          {say('Erase for good')}
        </button>
        <button type="button" className="quiet" onClick={onLeave}>
          {say('Leave it')}
        </button>
      </div>
      <Refusal why={why} />
    </form>
  );
}

function sayPlaces({ fields }: NameTraces): string {
  if (fields.length === 0) return say('No picture, rubbing or work bears this name.');
  return say(
    '{fields, plural, one {The one record that bears this name shows a pseudonym instead.} other {The # records that bear this name show a pseudonym instead.}}',
    { fields: fields.length },
  );
}
