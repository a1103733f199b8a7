import { type SubmitEvent, useState } from 'react';
import { mayDo } from '../platform/api/state.js';
import { type Consent, meetCondition } from '../platform/api/works.js';
import { say } from '../platform/language/say.js';
import { Refusal } from '../platform/Refusal.js';
import { useSession } from '../platform/session.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';

/** An answer, and its conditions one by one. */
export function ConsentWords({
  consent,
  afterwards,
}: {
  consent: Consent;
  afterwards: () => void;
}) {
  const { me } = useSession();
  const may = mayDo(me, consent.siteId, 'conservator');
  return (
    <div className="consent">
      <p>
        <b>
          {consent.decision === 'given'
            ? say('Consented on {day}', { day: consent.happened })
            : say('Refused on {day}', { day: consent.happened })}
        </b>
        <small className="quiet-line">
          {[
            consent.how === 'letter' ? say('by letter') : say('in the program'),
            consent.byText,
            consent.forWhom === null ? null : say('for {whom}', { whom: consent.forWhom }),
            consent.expires === null ? null : say('good until {day}', { day: consent.expires }),
            consent.isOnePerson ? say('proposer and approver are one person') : null,
          ]
            .filter((part) => part !== null)
            .join('; ')}
        </small>
        {consent.mediaId === null ? null : (
          <a className="word" href={`/v1/media/${consent.mediaId}/original`} download>
            {say('the letter as it came')}
          </a>
        )}
      </p>
      <ul>
        {consent.conditions.map((condition) => (
          <li key={condition.conditionId}>
            {condition.text}
            {condition.discharged === null ? (
              may ? (
                <MetForm
                  consentId={consent.consentId}
                  conditionId={condition.conditionId}
                  text={condition.text}
                  afterwards={afterwards}
                />
              ) : (
                <small className="quiet-line">{say('not met yet')}</small>
              )
            ) : (
              <small className="quiet-line">
                {say('met {day}: {how}', {
                  day: condition.discharged.happened,
                  how: condition.discharged.how,
                })}
              </small>
            )}
          </li>
        ))}
      </ul>
    </div>
  );
}

function MetForm({
  consentId,
  conditionId,
  text,
  afterwards,
}: {
  consentId: string;
  conditionId: string;
  text: string;
  afterwards: () => void;
}) {
  const [how, setHow] = useState('');
  const { busy, why, run } = useAct();
  const met = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      await meetCondition(consentId, conditionId, { how, happened: today() });
      afterwards();
    });
  };
  return (
    <form className="row" onSubmit={met}>
      <input
        aria-label={say('How “{text}” was met', { text })}
        placeholder={say('how it was met')}
        required
        value={how}
        onChange={(event) => {
          setHow(event.target.value);
        }}
      />
      <button type="submit" className="quiet" disabled={busy}>
        {say('It was met')}
      </button>
      <Refusal why={why} />
    </form>
  );
}
