import { type SubmitEvent, useState } from 'react';
import { addPerson } from '../platform/api/people.js';
import { Field } from '../platform/Field.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { Refusal } from '../platform/Refusal.js';
import { useAct } from '../platform/use-act.js';

/** A new person; the password is told to them and changed by them. */
export function AddPerson() {
  const [displayName, setDisplayName] = useState('');
  const [login, setLogin] = useState('');
  const [password, setPassword] = useState('');
  const [added, setAdded] = useState<string | null>(null);
  const { busy, why, field, run } = useAct();
  const add = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      await addPerson({ displayName, login, password });
      setAdded(displayName);
      setDisplayName('');
      setLogin('');
      setPassword('');
    });
  };
  return (
    <form className="paper stack" onSubmit={add}>
      <h2>{say('Let somebody in')}</h2>
      <div className="two">
        <Field label={say('Name in records')}>
          {(ids) => (
            <input
              {...ids}
              required
              value={displayName}
              onChange={(event) => {
                setDisplayName(event.target.value);
              }}
            />
          )}
        </Field>
        <Field label={say('Sign-in name')}>
          {(ids) => (
            <input
              {...ids}
              required
              autoCapitalize="off"
              value={login}
              aria-invalid={field === 'login'}
              onChange={(event) => {
                setLogin(event.target.value);
              }}
            />
          )}
        </Field>
      </div>
      <Field
        label={say('First password')}
        hint={say('twelve characters or more; tell it to them in person')}
      >
        {(ids) => (
          <input
            {...ids}
            required
            type="password"
            autoComplete="new-password"
            value={password}
            aria-invalid={field === 'password'}
            onChange={(event) => {
              setPassword(event.target.value);
            }}
          />
        )}
      </Field>
      <Refusal why={why} />
      {added ? (
        <p className="kept" role="status">
          {rich('{added} may sign in. Give them a role above (open this page again to see them).', {
            added,
          })}
        </p>
      ) : null}
      <div className="row">
        <button type="submit" disabled={busy}>
          {say('Add this person')}
        </button>
      </div>
    </form>
  );
}
