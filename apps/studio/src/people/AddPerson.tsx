import { type SubmitEvent, useState } from 'react';
import { addPerson } from '../platform/api/people.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { Refusal } from '../platform/Refusal.js';
import { TextField } from '../platform/TextField.js';
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
        <TextField
          label={say('Name in records')}
          required
          value={displayName}
          onValue={setDisplayName}
        />
        <TextField
          label={say('Sign-in name')}
          required
          autoCapitalize="off"
          aria-invalid={field === 'login'}
          value={login}
          onValue={setLogin}
        />
      </div>
      <TextField
        label={say('First password')}
        hint={say('twelve characters or more; tell it to them in person')}
        required
        type="password"
        autoComplete="new-password"
        aria-invalid={field === 'password'}
        value={password}
        onValue={setPassword}
      />
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
