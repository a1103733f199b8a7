import { type SubmitEvent, useState } from 'react';
import { startArchive } from '../platform/api/state.js';
import { Field } from '../platform/Field.js';
import { say } from '../platform/language/say.js';
import { goTo } from '../platform/navigate.js';
import { Refusal } from '../platform/Refusal.js';
import { useAct } from '../platform/use-act.js';
import { forgetWelcomeToken } from './welcome-token.js';

/** The first person: keeper everywhere. */
export function FirstKeeper({
  token,
  back,
  again,
}: {
  token: string | null;
  back: () => void;
  again: () => void;
}) {
  const [displayName, setDisplayName] = useState('');
  const [login, setLogin] = useState('');
  const [password, setPassword] = useState('');
  const { busy, why, field, run } = useAct();
  const begin = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      await startArchive({ token: token ?? '', displayName, login, password });
      forgetWelcomeToken();
      goTo('/recovery-sheet');
      again();
    });
  };
  return (
    <form className="stack" onSubmit={begin}>
      <h1>{say('The first keeper')}</h1>
      <p>
        {say(
          'A keeper may do everything here and lets others in. In a studio of one, that is you.',
        )}
      </p>
      <Field label={say('Your name')} hint={say('as it shall stand in records')}>
        {(ids) => (
          <input
            {...ids}
            required
            autoComplete="name"
            value={displayName}
            aria-invalid={field === 'displayName'}
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
            autoComplete="username"
            autoCapitalize="off"
            spellCheck={false}
            value={login}
            aria-invalid={field === 'login'}
            onChange={(event) => {
              setLogin(event.target.value);
            }}
          />
        )}
      </Field>
      <Field label={say('Password')} hint={say('twelve characters or more; a few words are good')}>
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
      <div className="row">
        <button type="submit" disabled={busy}>
          {busy ? say('Starting…') : say('Start the archive')}
        </button>
        <button type="button" className="quiet" onClick={back}>
          {say('Back')}
        </button>
      </div>
    </form>
  );
}
