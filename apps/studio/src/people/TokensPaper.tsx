import { type SubmitEvent, useState } from 'react';
import { addToken, readTokens, revokeToken } from '../platform/api/people.js';
import { rich } from '../platform/language/rich.js';
import { say, sayWord } from '../platform/language/say.js';
import { OneOf } from '../platform/OneOf.js';
import { Refusal } from '../platform/Refusal.js';
import { TextField } from '../platform/TextField.js';
import { useAct } from '../platform/use-act.js';
import { useAnswer } from '../platform/use-answer.js';

/** Keys for programs: a scanner's computer, a backup. Shown once, expiring. */
export function TokensPaper() {
  const tokens = useAnswer('tokens', readTokens);
  const [label, setLabel] = useState('');
  const [scope, setScope] = useState<'read' | 'write'>('read');
  const [days, setDays] = useState<'30' | '90' | '365'>('90');
  const [made, setMade] = useState<string | null>(null);
  const { busy, why, run } = useAct();
  const add = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      const token = await addToken({
        label,
        scope: scope === 'read' ? ['read'] : ['read', 'write'],
        days: Number(days),
      });
      setMade(token.token);
      setLabel('');
      tokens.again();
    });
  };
  const live = (tokens.value ?? []).filter((token) => token.revokedAt === null);
  return (
    <section className="paper stack" aria-label={say('Keys for programs')}>
      <h2>{say('Keys for programs')}</h2>
      {tokens.why ? <p role="alert">{tokens.why}</p> : null}
      <ul className="lines">
        {live.map((token) => (
          <li key={token.tokenId}>
            <span>
              {token.label}
              <small className="quiet-line">
                {say('{scope}, until {value}', {
                  scope: token.scope.map((word) => sayWord(word)).join(say(' and ')),
                  value: token.expiresAt.slice(0, 10),
                })}
              </small>
            </span>
            <button
              type="button"
              className="word"
              onClick={() => {
                void run(async () => {
                  await revokeToken(token.tokenId);
                  tokens.again();
                });
              }}
            >
              {say('end it')}
            </button>
          </li>
        ))}
      </ul>
      <form className="stack" onSubmit={add}>
        <TextField label={say('What it is for')} required value={label} onValue={setLabel} />
        <div className="two">
          <OneOf
            legend={say('It may')}
            options={['read', 'write'] as const}
            value={scope}
            onValue={setScope}
            words={(value) => (value === 'read' ? say('read only') : say('read and record'))}
          />
          <OneOf
            legend={say('For')}
            options={['30', '90', '365'] as const}
            value={days}
            onValue={setDays}
            words={(value) => say('{value} days', { value })}
          />
        </div>
        <Refusal why={why} />
        {made ? (
          <p role="status">
            {rich('Copy it now; it is not shown again.{output}', {
              output: <output className="print">{made}</output>,
            })}
          </p>
        ) : null}
        <div className="row">
          <button type="submit" className="quiet" disabled={busy}>
            {say('Make a key')}
          </button>
        </div>
      </form>
    </section>
  );
}
