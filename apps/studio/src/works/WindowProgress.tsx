import { type Campaign, readCampaigns, readFlags, readProgress } from '../platform/api/works.js';
import { Why } from '../platform/figure/Figure.js';
import { Go } from '../platform/Go.js';
import { say } from '../platform/language/say.js';
import { pathOf } from '../platform/place.js';
import { useAnswer } from '../platform/use-answer.js';
import { sayExpected, sayHours } from './say-hours.js';

const isWithin = (mark: string, place: string) => mark === place || mark.startsWith(`${place}.`);

/** For a window in a running campaign: hours done of those expected, and what stands in the way here. */
export function WindowProgress({ siteId, mark }: { siteId: string; mark: string }) {
  const campaigns = useAnswer(`campaigns ${siteId}`, (signal) => readCampaigns(siteId, signal));
  const running = (campaigns.value ?? []).filter(
    ({ state, scope }) =>
      state === 'open' && scope.some((place) => isWithin(place, mark) || isWithin(mark, place)),
  );
  return running.map((one) => <Line key={one.campaignId} campaign={one} mark={mark} />);
}

function Line({ campaign, mark }: { campaign: Campaign; mark: string }) {
  const { campaignId, siteId, scope, title } = campaign;
  const progress = useAnswer(campaignId, (signal) => readProgress(campaignId, signal));
  const flags = useAnswer(`flags ${campaignId}`, (signal) =>
    readFlags(siteId, { campaignId, state: 'open' }, signal),
  );
  const told = progress.value;
  if (!told) return null;
  const works = `${pathOf(mark.split('.')[0]!, 'works')}?campaign=${campaignId}`;
  const open = (flags.value ?? []).filter(({ subject }) => isWithin(subject, mark)).length;
  const without = told.withoutConsent.filter((one) => isWithin(one, mark)).length;
  const isWider = scope.some((place) => !isWithin(place, mark));
  return (
    <section aria-label={say('How far {title} is', { title })}>
      <p className="figures">
        {title}
        {told.minutesDone === null ? null : (
          <>
            {': '}
            <b>{sayHours(told.minutesDone)}</b> {sayExpected(told.minutesExpected)}{' '}
            <Why kind="hours" of={title} />
            {isWider ? (
              <small className="quiet-line">
                {say('hours of the whole campaign, which covers more than this window')}
              </small>
            ) : null}
          </>
        )}
      </p>
      <p className="row also">
        {open > 0 ? (
          <Go className="word" to={`${works}&part=flags`}>
            {say('{count, plural, one {# question is open} other {# questions are open}}', {
              count: open,
            })}
          </Go>
        ) : null}
        {without > 0 ? (
          <Go className="word" to={`${works}&part=proposals`}>
            {say('{count, plural, one {# panel} other {# panels}} without a consent', {
              count: without,
            })}
          </Go>
        ) : null}
        <Go className="word" to={`${works}&part=campaign`}>
          {say('the whole campaign')}
        </Go>
      </p>
    </section>
  );
}
