import { type SubmitEvent, useState } from 'react';
import { mayDo } from '../platform/api/state.js';
import {
  type Campaign,
  closeCampaign,
  extendCampaign,
  readProgress,
} from '../platform/api/works.js';
import { Why } from '../platform/figure/Figure.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { setWords } from '../platform/navigate.js';
import { Refusal } from '../platform/Refusal.js';
import { useSession } from '../platform/session.js';
import { TextField } from '../platform/TextField.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';
import { useAnswer } from '../platform/use-answer.js';
import { SignPaper } from './SignPaper.js';
import { sayExpected, sayHours } from './say-hours.js';

/** How far it is, as one number, and what stands in the way. */
export function CampaignPaper({
  campaign,
  chosen,
  afterwards,
}: {
  campaign: Campaign;
  chosen: readonly string[];
  afterwards: () => void;
}) {
  const { campaignId, siteId } = campaign;
  const { me } = useSession();
  const found = useAnswer(`progress ${campaignId}`, (signal) => readProgress(campaignId, signal));
  const extending = useAct();
  const progress = found.value;
  const may = mayDo(me, siteId, 'conservator') && campaign.state === 'open';
  const added = chosen.filter((mark) => !campaign.scope.includes(mark));
  return (
    <>
      <section className="paper stack" aria-label={say('How far it is')}>
        <div>
          <h1>{campaign.title}</h1>
          <p className="sub">
            {campaign.state === 'open'
              ? say('since {began}', { began: campaign.began })
              : say('{began} to {closed}', {
                  began: campaign.began,
                  closed: campaign.closed ?? '',
                })}
            {', '}
            {campaign.scope.join(', ')}
          </p>
        </div>
        {found.why ? <p role="alert">{found.why}</p> : null}
        {progress ? (
          <>
            {progress.minutesDone === null ? null : (
              <p className="works-number">
                <b>{sayHours(progress.minutesDone)}</b> {sayExpected(progress.minutesExpected)}{' '}
                <Why kind="hours" of={say('hours')} />
              </p>
            )}
            <h2>{say('What stands in the way')}</h2>
            {progress.openFlags === 0 &&
            progress.withoutConsent.length === 0 &&
            progress.openConditions.length === 0 ? (
              <p>{say('Nothing.')}</p>
            ) : (
              <ul className="lines">
                {progress.openFlags > 0 ? (
                  <li>
                    <button
                      type="button"
                      className="word"
                      onClick={() => {
                        setWords({ part: 'flags' });
                      }}
                    >
                      {say(
                        '{count, plural, one {# question is open} other {# questions are open}}',
                        {
                          count: progress.openFlags,
                        },
                      )}
                    </button>
                  </li>
                ) : null}
                {progress.withoutConsent.length > 0 ? (
                  <li>
                    <span>
                      {say('{count, plural, one {# panel} other {# panels}} without a consent', {
                        count: progress.withoutConsent.length,
                      })}
                      <small className="quiet-line">
                        {progress.withoutConsent.slice(0, 12).join(', ')}
                        {progress.withoutConsent.length > 12 ? ', …' : ''}
                      </small>
                    </span>
                  </li>
                ) : null}
                {progress.openConditions.map((one) => (
                  <li key={one.conditionId}>
                    <span>{rich('condition not met: {text}', { text: one.text })}</span>
                  </li>
                ))}
              </ul>
            )}
          </>
        ) : null}
        {may && added.length > 0 ? (
          <div className="row">
            <button
              type="button"
              className="quiet"
              disabled={extending.busy}
              onClick={() => {
                void extending.run(async () => {
                  await extendCampaign(campaign, { scope: [...campaign.scope, ...added] });
                  afterwards();
                });
              }}
            >
              {say('Take {added} into it', { added: added.join(', ') })}
            </button>
          </div>
        ) : null}
        <Refusal why={extending.why} />
        {may ? (
          <p className="hint">
            {say('To sign a panel’s treatment record choose that panel alone on the drawing.')}
          </p>
        ) : null}
      </section>
      {may && chosen.length === 1 ? <SignPaper key={chosen[0]} mark={chosen[0]!} /> : null}
      {may ? <ClosePaper campaignId={campaignId} afterwards={afterwards} /> : null}
      {campaign.closing === null ? null : (
        <section className="paper" aria-label={say('How it ended')}>
          <h2>{say('How it ended')}</h2>
          {Object.values(campaign.closing).map((text) => (
            <p key={text}>{text}</p>
          ))}
        </section>
      )}
    </>
  );
}

function ClosePaper({ campaignId, afterwards }: { campaignId: string; afterwards: () => void }) {
  const [said, setSaid] = useState({ residualRisk: '', maintenance: '', nextInspection: '' });
  const { busy, why, run } = useAct();
  const close = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      const given = Object.fromEntries(Object.entries(said).filter(([, text]) => text !== ''));
      await closeCampaign(campaignId, { happened: today(), ...given });
      afterwards();
    });
  };
  const text = (label: string, member: keyof typeof said, hint?: string) => (
    <TextField
      label={label}
      hint={hint}
      value={said[member]}
      onValue={(value) => {
        setSaid({ ...said, [member]: value });
      }}
    />
  );
  return (
    <details className="paper">
      <summary>{say('The work has ended')}</summary>
      <form className="stack" onSubmit={close} aria-label={say('Close the campaign')}>
        {text(say('What still threatens the glass'), 'residualRisk')}
        {text(say('Upkeep'), 'maintenance')}
        {text(say('Look again'), 'nextInspection', '2031')}
        <Refusal why={why} />
        <div className="row">
          <button type="submit" className="quiet" disabled={busy}>
            {say('Close the campaign')}
          </button>
        </div>
      </form>
    </details>
  );
}
