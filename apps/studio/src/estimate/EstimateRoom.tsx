import './estimate.css';
import { useRef, useState } from 'react';
import { type Estimate, readEstimates, readQuantities } from '../platform/api/estimates.js';
import { operationLabel, readOperations } from '../platform/api/findings.js';
import type { MarkPlace } from '../platform/api/sites.js';
import { isOfStudio, mayDo } from '../platform/api/state.js';
import { type Campaign, readCampaigns } from '../platform/api/works.js';
import { Go } from '../platform/Go.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { setWords, useHere } from '../platform/navigate.js';
import { pathOf } from '../platform/place.js';
import { Shell } from '../platform/Shell.js';
import { useSession } from '../platform/session.js';
import { useAnswer } from '../platform/use-answer.js';
import { Word } from '../platform/Word.js';
import { ChangedPaper } from './ChangedPaper.js';
import { EstimatePaper } from './EstimatePaper.js';
import { LearnedPaper } from './LearnedPaper.js';
import { VariationPaper } from './VariationPaper.js';
import { VersionsPaper } from './VersionsPaper.js';
import { WriteEstimate } from './WriteEstimate.js';

/** What a campaign will take: hours and money with their range, alternatives side by side, versions. */
export function EstimateRoom({ at }: { at: MarkPlace }) {
  const { siteId } = at;
  const siteMark = at.fullMark.split('.')[0]!;
  const { words } = useHere();
  const { me } = useSession();
  const isInside = isOfStudio(me, siteId);
  const campaigns = useAnswer(isInside ? `campaigns ${siteId}` : null, (signal) =>
    readCampaigns(siteId, signal),
  );
  const all = campaigns.value ?? [];
  const campaign =
    all.find((one) => one.campaignId === words.get('campaign')) ??
    all.find((one) => one.state === 'open') ??
    all[0];
  return (
    <Shell
      mark={siteMark}
      sentence={rich('what {choice} will take', {
        choice:
          campaign === undefined ? (
            siteMark
          ) : (
            <Word
              label={say('Campaign')}
              value={campaign.campaignId}
              options={all.map((one) => [one.campaignId, one.title] as const)}
              onChoose={(value) => {
                setWords({ campaign: value, estimate: null });
              }}
            />
          ),
      })}
    >
      <div className="scroll estimate" aria-busy={isInside && campaigns.value === undefined}>
        {campaign ? (
          <CampaignEstimates key={campaign.campaignId} campaign={campaign} />
        ) : (
          <section className="paper">
            <h1>{say('Estimates')}</h1>
            <p role={campaigns.why ? 'alert' : 'status'}>
              {isInside
                ? (campaigns.why ??
                  (campaigns.value === undefined
                    ? say('going there…')
                    : say(
                        'There is no campaign yet. Begin one with the works; then it is reckoned here.',
                      )))
                : say(
                    'Hours and prices are read inside the studio. Ask the keeper for the estimate on paper.',
                  )}
            </p>
            {isInside && campaigns.value !== undefined ? (
              <p className="row card-acts">
                <Go className="act" to={pathOf(siteMark, 'works')}>
                  {say('To the works')}
                </Go>
              </p>
            ) : null}
          </section>
        )}
      </div>
    </Shell>
  );
}

function CampaignEstimates({ campaign }: { campaign: Campaign }) {
  const { campaignId, siteId } = campaign;
  const { words } = useHere();
  const { me } = useSession();
  const estimates = useAnswer(campaignId, (signal) => readEstimates(campaignId, signal));
  const quantities = useAnswer(campaignId, (signal) => readQuantities(campaignId, signal));
  const operations = useAnswer('operations', readOperations);
  const [writing, setWriting] = useState(false);
  const top = useRef<HTMLDivElement>(null);
  const turn = (writes: boolean) => {
    setWriting(writes);
    top.current?.closest('.scroll')?.scrollTo(0, 0);
  };
  const told = quantities.value;
  const why = estimates.why ?? quantities.why ?? operations.why;
  if (!estimates.value || !told || !operations.value)
    return (
      <section className="paper" aria-busy={why === undefined}>
        <h1>{campaign.title}</h1>
        <p role={why ? 'alert' : 'status'}>{why ?? say('reckoning…')}</p>
      </section>
    );
  const { items, variation } = estimates.value;
  const shown = items.find((one) => one.estimateId === words.get('estimate')) ?? items[0];
  const mayWrite = mayDo(me, siteId, 'conservator') && campaign.state === 'open';
  const learned = (
    <LearnedPaper told={told} words={(key) => operationLabel(operations.value, key)} />
  );
  if (writing)
    return (
      <>
        <div ref={top} />
        <WriteEstimate
          campaign={campaign}
          before={shown}
          told={told}
          operations={operations.value}
          onLeave={() => {
            turn(false);
          }}
          afterwards={() => {
            turn(false);
            setWords({ estimate: null });
            estimates.again();
          }}
        />
        {learned}
      </>
    );
  const before = shown === undefined ? undefined : items[items.indexOf(shown) + 1];
  // the client's variation tells the step from the newest first to the newest second already
  const isTold =
    variation !== null &&
    shown === items.find(({ stage }) => stage === 'second') &&
    before === items.find(({ stage }) => stage === 'first');
  return (
    <>
      <div ref={top} />
      {shown ? (
        <EstimatePaper
          estimate={shown}
          number={numberOf(items, shown)}
          act={mayWrite ? <WriteAct label={say('Write the next one')} onWrite={turn} /> : null}
        />
      ) : (
        <section className="paper stack">
          <h1>{say('No estimate yet')}</h1>
          <p>
            {say(
              'The first is made from areas and from what stood on a square metre elsewhere; the second, once the lead drawings are there, from what was drawn. What lies between them goes to the client as a variation.',
            )}
          </p>
          {mayWrite ? <WriteAct label={say('Write the first one')} onWrite={turn} /> : null}
        </section>
      )}
      {variation && shown ? (
        <VariationPaper
          heading={say('Variation: from the first estimate to the second')}
          about={say('The newest of each, likely values. This is what the client is told.')}
          variation={variation}
          currency={items.find(({ stage }) => stage === 'second')!.terms.currency}
        />
      ) : null}
      {shown && before && !isTold ? (
        <ChangedPaper number={numberOf(items, shown)} before={before} shown={shown} />
      ) : null}
      {items.length > 1 ? <VersionsPaper items={items} shown={shown} /> : null}
      {learned}
    </>
  );
}

/** Versions count from the first. */
const numberOf = (items: readonly Estimate[], one: Estimate) => items.length - items.indexOf(one);

function WriteAct({ label, onWrite }: { label: string; onWrite: (writes: boolean) => void }) {
  return (
    <p className="row">
      <button
        type="button"
        onClick={() => {
          onWrite(true);
        }}
      >
        {label}
      </button>
    </p>
  );
}
