import { type SubmitEvent, useState } from 'react';
import { findNameTraces, type NameTraces } from '../platform/api/people.js';
import { say } from '../platform/language/say.js';
import { Refusal } from '../platform/Refusal.js';
import { TextField } from '../platform/TextField.js';
import { useAct } from '../platform/use-act.js';
import { EraseName } from './EraseName.js';

/** Somebody who never signed in but is named on pictures, rubbings or work. */
export function NameWithoutAccount() {
  const [name, setName] = useState('');
  const [found, setFound] = useState<{ name: string; traces: NameTraces }>();
  const [said, setSaid] = useState('');
  const { busy, why, run } = useAct();
  const look = (event: SubmitEvent) => {
    event.preventDefault();
    setSaid('');
    void run(async () => {
      const traces = await findNameTraces(name);
      setFound(traces.fields.length === 0 ? undefined : { name, traces });
      if (traces.fields.length === 0) {
        setSaid(
          traces.texts.length === 0
            ? say('Nobody is named so.')
            : say('The name stands only within {texts} notes, which stay as they were written.', {
                texts: traces.texts.length,
              }),
        );
      }
    });
  };
  return (
    <section className="paper stack" aria-label={say('Names without an account')}>
      <h2>{say('Somebody without an account')}</h2>
      <p className="sub">
        {say('Named as author of a picture, taker of a rubbing, or who did a work.')}
      </p>
      <form className="stack" onSubmit={look}>
        <TextField
          label={say('Name')}
          hint={say('As it stands there; capitals and spaces do not matter.')}
          required
          minLength={2}
          value={name}
          onValue={(value) => {
            setName(value);
            setFound(undefined);
          }}
        />
        <div className="row">
          <button type="submit" className="quiet" disabled={busy}>
            {say('Where is it?')}
          </button>
        </div>
        <Refusal why={why} />
      </form>
      {said === '' ? null : <p role="status">{said}</p>}
      {found ? (
        <EraseName
          of={{ name: found.name }}
          traces={found.traces}
          onDone={() => {
            setFound(undefined);
            setName('');
            setSaid(say('Erased. Records show a pseudonym.'));
          }}
          onLeave={() => {
            setFound(undefined);
          }}
        />
      ) : null}
    </section>
  );
}
