import { type SubmitEvent, useState } from 'react';
import { addToken, readTokens, revokeToken } from '../platform/api/people.js';
import { Field } from '../platform/Field.js';
import { OneOf } from '../platform/OneOf.js';
import { Refusal } from '../platform/Refusal.js';
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
    <section className="paper stack" aria-label="Keys for programs">
      <h2>Keys for programs</h2>
      {tokens.why ? <p role="alert">{tokens.why}</p> : null}
      <ul className="lines">
        {live.map((token) => (
          <li key={token.tokenId}>
            <span>
              {token.label}
              <small className="quiet-line">
                {token.scope.join(' and ')}, until {token.expiresAt.slice(0, 10)}
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
              end it
            </button>
          </li>
        ))}
      </ul>
      <form className="stack" onSubmit={add}>
        <Field label="What it is for">
          {(ids) => (
            <input
              {...ids}
              required
              value={label}
              onChange={(event) => {
                setLabel(event.target.value);
              }}
            />
          )}
        </Field>
        <div className="two">
          <OneOf
            legend="It may"
            options={['read', 'write'] as const}
            value={scope}
            onValue={setScope}
            words={(value) => (value === 'read' ? 'read only' : 'read and record')}
          />
          <OneOf
            legend="For"
            options={['30', '90', '365'] as const}
            value={days}
            onValue={setDays}
            words={(value) => `${value} days`}
          />
        </div>
        <Refusal why={why} />
        {made ? (
          <p role="status">
            Copy it now; it is not shown again.
            <output className="print">{made}</output>
          </p>
        ) : null}
        <div className="row">
          <button type="submit" className="quiet" disabled={busy}>
            Make a key
          </button>
        </div>
      </form>
    </section>
  );
}
