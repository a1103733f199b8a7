import { useLayoutEffect, useRef } from 'react';
import { CONDITION_WORDS, RECOMMENDATION_WORDS, URGENCY_WORDS } from '#libs/vocabulary';
import type { PanelProposal } from '../platform/api/surveys.js';
import { CLASSES, type ClassText, classOf, isSeen, sayClass } from '../platform/condition-class.js';
import { Figure } from '../platform/figure/Figure.js';
import { say, sayWord } from '../platform/language/say.js';
import { OneOf } from '../platform/OneOf.js';
import { sayFixed } from '../platform/say-number.js';
import { TextField } from '../platform/TextField.js';
import { sayMissing } from './say-missing.js';
import { NUMBERS, type NumberText, type PanelDraft, panelLacks } from './survey-draft.js';

/** What is said of one panel: class, urgency, recommendation by thumb, and why. */
export function PanelSheet({
  mark,
  draft,
  proposal,
  onDraft,
}: {
  mark: string;
  draft: PanelDraft;
  proposal: PanelProposal | undefined;
  onDraft: (draft: PanelDraft) => void;
}) {
  const sheet = useRef<HTMLElement>(null);
  // whoever chose a panel goes on with its sheet, by thumb or by keys
  useLayoutEffect(() => {
    sheet.current?.focus({ preventScroll: true });
    sheet.current?.scrollIntoView({ block: 'nearest' });
  }, []);
  const seen = isSeen(draft.conditionClass);
  const lacks = panelLacks(draft, proposal);
  const words =
    draft.conditionClass === null ? null : CONDITION_WORDS[classOf(draft.conditionClass)];
  return (
    <section
      ref={sheet}
      tabIndex={-1}
      className="paper stack survey-panel"
      aria-label={say('Panel {mark}', { mark })}
    >
      <h2>{mark}</h2>
      <OneOf<ClassText>
        legend={say('Condition class')}
        options={CLASSES}
        value={draft.conditionClass}
        onValue={(conditionClass) => {
          onDraft({ ...draft, conditionClass });
        }}
        words={sayClass}
      />
      <p className="hint" aria-live="polite">
        {words ? `${sayWord(words.meaning)}.` : say('Choose what you found, or why nobody looked.')}
      </p>
      {seen ? (
        <>
          <OneOf<NumberText>
            legend={say('Urgency')}
            options={NUMBERS}
            value={draft.urgency}
            onValue={(urgency) => {
              onDraft({ ...draft, urgency });
            }}
            words={(one) => `${one} ${sayWord(URGENCY_WORDS[Number(one) as 0].label, 'urgency')}`}
          />
          <OneOf<NumberText>
            legend={say('Recommended')}
            options={NUMBERS}
            value={draft.recommendation}
            onValue={(recommendation) => {
              onDraft({ ...draft, recommendation });
            }}
            words={(one) =>
              `${one} ${sayWord(RECOMMENDATION_WORDS[Number(one) as 0].label, 'recommended')}`
            }
          />
          <Computed draft={draft} proposal={proposal} onDraft={onDraft} />
        </>
      ) : null}
      <TextField
        label={
          seen || draft.conditionClass === null ? say('What was seen') : say('Why nobody looked')
        }
        rows={2}
        value={draft.reason}
        onValue={(value) => {
          onDraft({ ...draft, reason: value });
        }}
      />
      {lacks === null ? null : (
        <p role="status" className="lacks">
          {sayMissing(lacks)}
        </p>
      )}
    </section>
  );
}

/** Reasons out of the recorded findings: they count unless somebody says why not. */
function Computed({
  draft,
  proposal,
  onDraft,
}: {
  draft: PanelDraft;
  proposal: PanelProposal | undefined;
  onDraft: (draft: PanelDraft) => void;
}) {
  if (proposal === undefined || proposal.reasons.length === 0)
    return (
      <p className="hint">{say('No findings are recorded here, so no reason is computed.')}</p>
    );
  return (
    <fieldset className="field computed">
      <legend>{say('Computed from the findings')}</legend>
      {proposal.extentRatio === null ? null : (
        <div className="hint">
          <Figure
            kind="extent"
            of={say('extent')}
            inputs={[
              [say('pieces that a damage touches'), String(proposal.piecesTouched)],
              [say('pieces'), String(proposal.pieces)],
            ]}
          >
            {say(
              'Extent: {percent} % of the pieces, {touched} of {pieces}. It stands beside the class.',
              {
                percent: sayFixed(proposal.extentRatio * 100, 0),
                touched: proposal.piecesTouched,
                pieces: proposal.pieces,
              },
            )}
          </Figure>
        </div>
      )}
      {proposal.reasons.map(({ text, how }) => {
        const why = draft.setAside[text];
        return (
          <div key={text}>
            <label className="check">
              <input
                type="checkbox"
                checked={why === undefined}
                onChange={(event) => {
                  const others = Object.fromEntries(
                    Object.entries(draft.setAside).filter(([one]) => one !== text),
                  );
                  onDraft({
                    ...draft,
                    setAside: event.target.checked ? others : { ...others, [text]: '' },
                  });
                }}
              />
              <span>
                {text}
                <small>{how}</small>
              </span>
            </label>
            {why === undefined ? null : (
              <TextField
                label={say('Why it does not count here')}
                value={why}
                onValue={(value) => {
                  onDraft({
                    ...draft,
                    setAside: { ...draft.setAside, [text]: value },
                  });
                }}
              />
            )}
          </div>
        );
      })}
    </fieldset>
  );
}
