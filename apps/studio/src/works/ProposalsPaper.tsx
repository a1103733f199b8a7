import { useState } from 'react';
import { operation } from '#libs/vocabulary';
import { mayDo } from '../platform/api/state.js';
import {
  type Campaign,
  type Consent,
  type Proposal,
  proposalFile,
  readProposals,
} from '../platform/api/works.js';
import { say, sayWord } from '../platform/language/say.js';
import { useSession } from '../platform/session.js';
import { useAnswer } from '../platform/use-answer.js';
import { AnswerForms } from './AnswerForms.js';
import { ConsentWords } from './ConsentWords.js';
import { ProposalForm } from './ProposalForm.js';
import { SendForm } from './SendForm.js';

const stateWords: Readonly<Record<Proposal['state'], string>> = {
  draft: say('draft'),
  sent: say('sent, no answer yet'),
  consented: say('consented to'),
  refused: say('refused'),
  superseded: say('a later issue stands'),
};

/** What is proposed, to whom it went, and what was answered. */
export function ProposalsPaper({
  campaign,
  chosen,
}: {
  campaign: Campaign;
  chosen: readonly string[];
}) {
  const { campaignId, siteId } = campaign;
  const { me } = useSession();
  const found = useAnswer(`proposals ${campaignId}`, (signal) => readProposals(campaignId, signal));
  const [writing, setWriting] = useState<Proposal | 'new' | null>(null);
  const mayWrite = mayDo(me, siteId, 'conservator') && campaign.state === 'open';
  const written = () => {
    setWriting(null);
    found.again();
  };
  return (
    <>
      {found.why ? <p role="alert">{found.why}</p> : null}
      {(found.value?.items ?? []).map((proposal) => (
        <ProposalSheet
          key={proposal.issueId}
          proposal={proposal}
          consents={(found.value?.consents ?? []).filter(
            (one) => one.proposalId === proposal.proposalId && one.issue === proposal.issue,
          )}
          onRevise={
            mayWrite && proposal.state !== 'superseded'
              ? () => {
                  setWriting(proposal);
                }
              : null
          }
          afterwards={found.again}
        />
      ))}
      {writing !== null ? (
        <ProposalForm
          key={writing === 'new' ? 'new' : writing.issueId}
          campaignId={campaignId}
          before={writing === 'new' ? null : writing}
          chosen={chosen}
          afterwards={written}
        />
      ) : mayWrite ? (
        <section className="paper stack">
          {found.value?.items.length === 0 ? <p>{say('Nothing is proposed yet.')}</p> : null}
          <div className="row">
            <button
              type="button"
              onClick={() => {
                setWriting('new');
              }}
            >
              {say('Write a proposal')}
            </button>
          </div>
        </section>
      ) : null}
    </>
  );
}

function ProposalSheet({
  proposal,
  consents,
  onRevise,
  afterwards,
}: {
  proposal: Proposal;
  consents: readonly Consent[];
  onRevise: (() => void) | null;
  afterwards: () => void;
}) {
  return (
    <article
      className="paper stack"
      aria-label={say('{title}, issue {issue}', { title: proposal.title, issue: proposal.issue })}
    >
      <div>
        <h1>{proposal.title}</h1>
        <p className="sub">
          {say('issue {issue}, {state}', {
            issue: proposal.issue,
            state: stateWords[proposal.state],
          })}
          {proposal.sentTo === null
            ? ''
            : say('; to {to}, {sent}', { to: proposal.sentTo, sent: proposal.sent ?? '' })}
        </p>
      </div>
      <ol className="proposal-lines">
        {proposal.lines.map((line, i) => (
          <li key={`${i} ${line.subjects.join()}`}>
            <p>
              <b>{line.subjects.join(', ')}</b>: {line.need}
            </p>
            <ul>
              {line.options.map((option, at) => (
                <li key={option.what} className={at === line.chosen ? 'chosen' : ''}>
                  {at === line.chosen ? <b>{say('proposed: ')}</b> : say('also weighed: ')}
                  {option.what}
                  <small className="quiet-line">
                    {option.operations
                      .map((key) => sayWord(operation(key)?.label ?? key))
                      .join(', ')}
                    {option.speaksFor ? say('; for it: {why}', { why: option.speaksFor }) : ''}
                    {option.speaksAgainst
                      ? say('; against it: {why}', { why: option.speaksAgainst })
                      : ''}
                  </small>
                </li>
              ))}
            </ul>
            <p>
              {say('Because {why}', { why: line.why })}
              <small className="quiet-line">
                {[
                  line.where === 'in-place' ? say('in place') : say('taken out, in the studio'),
                  ...line.materials,
                  ...line.options[line.chosen]!.operations.map((key) =>
                    sayWord(operation(key)?.reversibility ?? ''),
                  ),
                ]
                  .filter((text) => text !== '')
                  .join('; ')}
              </small>
            </p>
          </li>
        ))}
      </ol>
      {consents.map((consent) => (
        <ConsentWords key={consent.consentId} consent={consent} afterwards={afterwards} />
      ))}
      <p className="row">
        <a
          className="act quiet"
          href={proposalFile(proposal.issueId)}
          target="_blank"
          rel="noreferrer"
        >
          {say('On paper (PDF)')}
        </a>
        {onRevise ? (
          <button type="button" className="quiet" onClick={onRevise}>
            {proposal.state === 'draft' ? say('Go on writing') : say('Write another issue')}
          </button>
        ) : null}
      </p>
      {proposal.state === 'draft' && onRevise ? (
        <SendForm proposal={proposal} afterwards={afterwards} />
      ) : null}
      {proposal.state === 'sent' ? (
        <AnswerForms proposal={proposal} afterwards={afterwards} />
      ) : null}
    </article>
  );
}
