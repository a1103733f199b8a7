import { type SubmitEvent, useState } from 'react';
import { signIn } from '../platform/api/state.js';
import { Field } from '../platform/Field.js';
import { say } from '../platform/language/say.js';
import { Refusal } from '../platform/Refusal.js';
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
      <Field label={say('Sign-in name')}>
        {(ids) => (
          <input
            {...ids}
            required
            autoComplete="username"
            autoCapitalize="off"
            spellCheck={false}
            value={login}
            onChange={(event) => {
              setLogin(event.target.value);
            }}
          />
        )}
      </Field>
      <Field label={say('Password')}>
        {(ids) => (
          <input
            {...ids}
            required
            type="password"
            autoComplete="current-password"
            value={password}
            onChange={(event) => {
              setPassword(event.target.value);
            }}
          />
        )}
      </Field>
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
