import { type SubmitEvent, useState } from 'react';
import { mayDo } from '../platform/api/state.js';
import { answerFlag, type Campaign, type Flag, readFlags } from '../platform/api/works.js';
import { Go } from '../platform/Go.js';
import { say, sayWord } from '../platform/language/say.js';
import { pathOf } from '../platform/place.js';
import { Refusal } from '../platform/Refusal.js';
import { useSession } from '../platform/session.js';
import { TextField } from '../platform/TextField.js';
import { useAct } from '../platform/use-act.js';
import { useAnswer } from '../platform/use-answer.js';

/** What was done out of order or not as agreed. Nothing was refused; somebody answers for it. */
export function FlagsPaper({ campaign }: { campaign: Campaign }) {
  const { siteId, campaignId } = campaign;
  const { me } = useSession();
  const open = useAnswer(`flags ${campaignId}`, (signal) =>
    readFlags(siteId, { campaignId, state: 'open' }, signal),
  );
  const answered = useAnswer(`answered ${campaignId}`, (signal) =>
    readFlags(siteId, { campaignId, state: 'answered' }, signal),
  );
  const may = mayDo(me, siteId, 'conservator');
  return (
    <section className="paper stack" aria-label={say('Questions')}>
      <div>
        <h1>{say('Questions')}</h1>
        <p className="sub">
          {say(
            'What was done is kept as it was done. What was out of order waits here for a reason; nothing is signed or closed over it.',
          )}
        </p>
      </div>
      {open.why ? <p role="alert">{open.why}</p> : null}
      {open.value?.length === 0 ? <p>{say('Nothing is open.')}</p> : null}
      <ul className="flags">
        {(open.value ?? []).map((flag) => (
          <li key={flag.flagId}>
            <FlagWords flag={flag} />
            {may ? (
              <AnswerForm
                flag={flag}
                afterwards={() => {
                  open.again();
                  answered.again();
                }}
              />
            ) : null}
          </li>
        ))}
      </ul>
      {(answered.value ?? []).length > 0 ? (
        <>
          <h2>{say('Answered')}</h2>
          <ul className="flags">
            {(answered.value ?? []).map((flag) => (
              <li key={flag.flagId}>
                <FlagWords flag={flag} />
                <p>{flag.answer}</p>
                {flag.isOwnAnswer ? (
                  <small className="quiet-line">{say('answered by whoever recorded it')}</small>
                ) : null}
              </li>
            ))}
          </ul>
        </>
      ) : null}
    </section>
  );
}

function FlagWords({ flag }: { flag: Flag }) {
  return (
    <p>
      <b>{sayWord(flag.label)}</b>{' '}
      <Go className="word" to={pathOf(flag.subject)}>
        {flag.subject}
      </Go>
      <small className="quiet-line">{flag.sentence}</small>
    </p>
  );
}

function AnswerForm({ flag, afterwards }: { flag: Flag; afterwards: () => void }) {
  const [reason, setReason] = useState('');
  const { busy, why, run } = useAct();
  const answer = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      await answerFlag(flag.flagId, reason);
      afterwards();
    });
  };
  return (
    <form
      className="stack"
      onSubmit={answer}
      aria-label={say('Answer for {subject}', { subject: flag.subject })}
    >
      <TextField
        label={say('Why it came so, and what follows')}
        required
        rows={2}
        value={reason}
        onValue={setReason}
      />
      <Refusal why={why} />
      <div className="row">
        <button type="submit" className="quiet" disabled={busy}>
          {say('Answer it')}
        </button>
      </div>
    </form>
  );
}
