import { type SubmitEvent, useState } from 'react';
import { signIn } from '../platform/api/state.js';
import { say } from '../platform/language/say.js';
import { Refusal } from '../platform/Refusal.js';
import { TextField } from '../platform/TextField.js';
import { useAct } from '../platform/use-act.js';
import { forgetWelcomeToken } from './welcome-token.js';

export function SignIn({ token, again }: { token: string | null; again: () => void }) {
  const [login, setLogin] = useState('');
  const [password, setPassword] = useState('');
  const { busy, why, run } = useAct();
  const enter = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      await signIn({ login, password });
      again();
    });
  };
  const enterByLink = () => {
    void run(async () => {
      try {
        await signIn({ token: token ?? '' });
      } finally {
        forgetWelcomeToken();
      }
      again();
    });
  };
  return (
    <form className="stack" onSubmit={enter}>
      <h1>{say('Come in')}</h1>
      <TextField
        label={say('Sign-in name')}
        required
        autoComplete="username"
        autoCapitalize="off"
        spellCheck={false}
        value={login}
        onValue={setLogin}
      />
      <TextField
        label={say('Password')}
        required
        type="password"
        autoComplete="current-password"
        value={password}
        onValue={setPassword}
      />
      <Refusal why={why} />
      <div className="row">
        <button type="submit" disabled={busy}>
          {busy ? say('Opening…') : say('Sign in')}
        </button>
        {token === null ? null : (
          <button type="button" className="quiet" disabled={busy} onClick={enterByLink}>
            {say('Sign in by the link of this start')}
          </button>
        )}
      </div>
    </form>
  );
}
