import { type SubmitEvent, useState } from 'react';
import { startArchive } from '../platform/api/state.js';
import { say } from '../platform/language/say.js';
import { goTo } from '../platform/navigate.js';
import { Refusal } from '../platform/Refusal.js';
import { TextField } from '../platform/TextField.js';
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
      <TextField
        label={say('Your name')}
        hint={say('as it shall stand in records')}
        required
        autoComplete="name"
        aria-invalid={field === 'displayName'}
        value={displayName}
        onValue={setDisplayName}
      />
      <TextField
        label={say('Sign-in name')}
        required
        autoComplete="username"
        autoCapitalize="off"
        spellCheck={false}
        aria-invalid={field === 'login'}
        value={login}
        onValue={setLogin}
      />
      <TextField
        label={say('Password')}
        hint={say('twelve characters or more; a few words are good')}
        required
        type="password"
        autoComplete="new-password"
        aria-invalid={field === 'password'}
        value={password}
        onValue={setPassword}
      />
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
