import './welcome.css';
import { useState } from 'react';
import type { ArchiveState } from '../platform/api/state.js';
import { DemoBanner } from '../platform/DemoBanner.js';
import { LanguageChoice } from '../platform/language/MannerChoice.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { Progress } from '../platform/Progress.js';
import { Choose } from './Choose.js';
import { DemoRoles } from './DemoRoles.js';
import { FirstKeeper } from './FirstKeeper.js';
import { LeadedName } from './LeadedName.js';
import { SignIn } from './SignIn.js';
import { takeWelcomeToken } from './welcome-token.js';

/** Everything before one is signed in: choose, start an archive, sign in. */
export function Door({
  state,
  why,
  again,
}: {
  state: ArchiveState | undefined;
  why: string | undefined;
  again: () => void;
}) {
  const [token] = useState(takeWelcomeToken);
  const [starting, setStarting] = useState(false);
  return (
    <div className="door-page">
      {state?.demo ? <DemoBanner /> : null}
      <main className="door">
        <LeadedName />
        <section className="paper door-paper" aria-live="polite">
          {state === undefined ? (
            <p role="status">{why ?? say('Opening the archive…')}</p>
          ) : state.seeding ? (
            <div className="stack">
              <h1>{say('Setting up the demo')}</h1>
              <p>
                {say(
                  'A chapel that never was is being drawn, photographed and rubbed. It takes a minute or two.',
                )}
              </p>
              <Progress stage={state.seeding.stage} ratio={state.seeding.ratio} />
            </div>
          ) : state.mode === 'choose' && !starting ? (
            <Choose
              token={token}
              again={again}
              start={() => {
                setStarting(true);
              }}
            />
          ) : state.mode === 'choose' ? (
            <FirstKeeper
              token={token}
              again={again}
              back={() => {
                setStarting(false);
              }}
            />
          ) : state.demo ? (
            <DemoRoles again={again} />
          ) : (
            <SignIn token={token} again={again} />
          )}
        </section>
        <LanguageChoice />
        {state === undefined ? null : (
          <p className="fingerprint">
            {rich(
              'Fingerprint of this archive {b}. It stands on every printed record: compare the two before you trust either.{keyChange}',
              {
                b: <b>{state.archive.fingerprint}</b>,
                keyChange:
                  state.archive.keyChange === null
                    ? null
                    : say(' An older record may name an earlier key: {keyChange}.', {
                        keyChange: state.archive.keyChange,
                      }),
              },
            )}
          </p>
        )}
      </main>
    </div>
  );
}
