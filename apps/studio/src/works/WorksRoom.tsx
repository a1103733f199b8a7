import './works.css';
import { useState } from 'react';
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
import { Table } from '../platform/Table.js';
import { useAnswer } from '../platform/use-answer.js';
import { Word } from '../platform/Word.js';
import { BeginPaper } from './BeginPaper.js';
import { CampaignPaper } from './CampaignPaper.js';
import { FlagsPaper } from './FlagsPaper.js';
import { LogPaper } from './LogPaper.js';
import { MaterialsPaper } from './MaterialsPaper.js';
import { ProposalsPaper } from './ProposalsPaper.js';
import { ScopeDrawing } from './ScopeDrawing.js';

const PARTS = ['log', 'campaign', 'proposals', 'flags', 'materials'] as const;
type Part = (typeof PARTS)[number];
const partWords: Readonly<Record<Part, string>> = {
  log: say('work'),
  campaign: say('how far it is'),
  proposals: say('proposals'),
  flags: say('questions'),
  materials: say('materials'),
};

/** A campaign: the drawing coloured by state of work, and beside it what is done, agreed and asked. */
export function WorksRoom({ at }: { at: MarkPlace }) {
  const { siteId } = at;
  const siteMark = at.fullMark.split('.')[0]!;
  const { words } = useHere();
  const { me } = useSession();
  const campaigns = useAnswer(`campaigns ${siteId}`, (signal) => readCampaigns(siteId, signal));
  const all = campaigns.value ?? [];
  const asked = words.get('campaign');
  const campaign =
    asked === null
      ? (all.find((one) => one.state === 'open') ?? all[0])
      : all.find((one) => one.campaignId === asked);
  // one that was begun a moment ago is not in the list yet
  const isComing = asked !== null && asked !== 'new' && campaign === undefined;
  const isAnswered = campaigns.value !== undefined || campaigns.why !== undefined;
  const part = PARTS.find((one) => one === words.get('part')) ?? 'log';
  const [chosen, setChosen] = useState<readonly string[]>([]);
  const [turn, setTurn] = useState(0);
  const again = () => {
    campaigns.again();
    setTurn((before) => before + 1);
  };
  const toggle = (mark: string) => {
    setChosen((before) =>
      before.includes(mark) ? before.filter((one) => one !== mark) : [...before, mark],
    );
  };
  const mayLead = mayDo(me, siteId, 'conservator');
  return (
    <Shell
      mark={siteMark}
      sentence={
        <>
          {rich('the works at {b}: {choice}', {
            b: <b>{siteMark}</b>,
            choice:
              all.length > 0 ? (
                <Word
                  label={say('Campaign')}
                  value={campaign?.campaignId ?? 'new'}
                  options={[
                    ...all.map((one) => [one.campaignId, one.title] as const),
                    ...(mayLead ? [['new', say('begin another…')] as const] : []),
                  ]}
                  onChoose={(value) => {
                    setWords({ campaign: value });
                  }}
                />
              ) : (
                say('no campaign yet')
              ),
          })}
        </>
      }
    >
      <Table
        papers={say('the works')}
        startOpen
        drawing={
          <ScopeDrawing
            siteId={siteId}
            siteMark={siteMark}
            scope={campaign?.scope ?? (isAnswered ? [] : undefined)}
            chosen={chosen}
            onToggle={toggle}
          />
        }
        beside={
          <div className="stack works">
            {campaigns.why ? <p role="alert">{campaigns.why}</p> : null}
            {campaigns.value === undefined || isComing ? (
              <p role="status">{campaigns.why ? null : say('going there…')}</p>
            ) : campaign === undefined ? (
              mayLead ? (
                <BeginPaper
                  siteId={siteId}
                  chosen={chosen}
                  afterwards={(campaignId) => {
                    setChosen([]);
                    setWords({ campaign: campaignId });
                    again();
                  }}
                />
              ) : (
                <section className="paper">
                  <h1>{say('No campaign yet')}</h1>
                  <p>{say('A conservator begins one here.')}</p>
                </section>
              )
            ) : (
              <>
                <nav className="row parts" aria-label={say('Parts of the campaign')}>
                  {PARTS.map((one) => (
                    <button
                      key={one}
                      type="button"
                      className="quiet"
                      aria-pressed={one === part}
                      onClick={() => {
                        setWords({ part: one });
                      }}
                    >
                      {partWords[one]}
                    </button>
                  ))}
                  {isOfStudio(me, siteId) ? (
                    <Go
                      className="act quiet"
                      to={`${pathOf(siteMark, 'estimate')}?campaign=${campaign.campaignId}`}
                    >
                      {say('estimate')}
                    </Go>
                  ) : null}
                </nav>
                <PartPaper
                  key={`${part} ${campaign.campaignId} ${turn}`}
                  part={part}
                  campaign={campaign}
                  chosen={chosen}
                  again={again}
                  clear={() => {
                    setChosen([]);
                  }}
                />
              </>
            )}
          </div>
        }
      />
    </Shell>
  );
}

function PartPaper({
  part,
  campaign,
  chosen,
  again,
  clear,
}: {
  part: Part;
  campaign: Campaign;
  chosen: readonly string[];
  again: () => void;
  clear: () => void;
}) {
  switch (part) {
    case 'log':
      return <LogPaper campaign={campaign} chosen={chosen} clear={clear} />;
    case 'campaign':
      return <CampaignPaper campaign={campaign} chosen={chosen} afterwards={again} />;
    case 'proposals':
      return <ProposalsPaper campaign={campaign} chosen={chosen} />;
    case 'flags':
      return <FlagsPaper campaign={campaign} />;
    case 'materials':
      return <MaterialsPaper />;
  }
}
