import { useState } from 'react';
import { placeOfList } from '../phone/queue/kept-lists.js';
import { isRecordedAlready, readProposals, recordSurvey } from '../platform/api/surveys.js';
import { readWindow } from '../platform/api/windows.js';
import { Cautions } from '../platform/Cautions.js';
import { useKept } from '../platform/kept-value.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { goTo } from '../platform/navigate.js';
import { newId } from '../platform/new-id.js';
import { pathOf } from '../platform/place.js';
import { Refusal } from '../platform/Refusal.js';
import { Shell } from '../platform/Shell.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';
import { useAnswer } from '../platform/use-answer.js';
import { PanelSheet } from './PanelSheet.js';
import { SurveyMap } from './SurveyMap.js';
import { sayMissing } from './say-missing.js';
import { bodyOf, EMPTY_PANEL, emptyDraft, isDraft, panelLacks } from './survey-draft.js';
import { VisitSheet } from './VisitSheet.js';
import './survey.css';

/** One visit to a window, panel by panel over its drawing. What is said stays here until it is recorded. */
export function SurveyRoom({ windowId, mark }: { windowId: string; mark: string }) {
  const found = useAnswer(windowId, (signal) => readWindow(windowId, {}, signal));
  const proposed = useAnswer(`proposals ${windowId}`, (signal) => readProposals(windowId, signal));
  const [draft, setDraft] = useKept(
    placeOfList('survey', windowId),
    emptyDraft(newId(), today()),
    isDraft,
  );
  const [chosen, setChosen] = useState<string | null>(null);
  const [missing, setMissing] = useState<string | null>(null);
  const [isKnown, setKnown] = useState(false);
  const { busy, why, run } = useAct();
  const proposals = new Map((proposed.value ?? []).map((one) => [one.panelId, one]));
  const panels = found.value?.panels ?? [];
  const place = panels.findIndex(({ panelId }) => panelId === chosen);
  const at = place < 0 ? null : panels[place]!;
  const said = Object.values(draft.panels).filter((panel) => panel.conditionClass !== null).length;

  const record = () => {
    const told = bodyOf(draft, proposals);
    if ('missing' in told) {
      setMissing(sayMissing(told.missing));
      if (told.panelId !== null) setChosen(told.panelId);
      return;
    }
    setMissing(null);
    setKnown(false);
    void run(async () => {
      try {
        await recordSurvey(windowId, told.body, draft.key);
      } catch (error) {
        setKnown(isRecordedAlready(error));
        throw error;
      }
      setDraft(emptyDraft(newId(), today()));
      goTo(pathOf(mark));
    });
  };

  return (
    <Shell mark={mark} sentence={<>{rich('a survey of {b}', { b: <b>{mark}</b> })}</>}>
      <div className="scroll survey">
        {found.value === undefined ? (
          <section className="paper">
            <p role={found.why ? 'alert' : 'status'}>{found.why ?? say('fetching the drawing…')}</p>
          </section>
        ) : (
          <>
            <VisitSheet draft={draft} onDraft={setDraft} />
            <div className="survey-work">
              <section className="paper stack" aria-label={say('Panel by panel')}>
                <SurveyMap
                  panels={panels.map(({ panelId, mark: name, ringMm }) => {
                    const panel = draft.panels[panelId] ?? EMPTY_PANEL;
                    return {
                      panelId,
                      mark: name,
                      ringMm,
                      said: panel.conditionClass,
                      lacks: panelLacks(panel, proposals.get(panelId)) !== null,
                    };
                  })}
                  chosen={chosen}
                  onChoose={setChosen}
                />
                <p className="hint" role="status">
                  {say(
                    '{said} of {panels} panels said. It stays in this browser until you record it.',
                    {
                      said,
                      panels: panels.length,
                    },
                  )}
                </p>
              </section>
              <div className="survey-beside">
                {at === null ? (
                  <section className="paper survey-how">
                    <p>{say('Tap a panel of the drawing.')}</p>
                  </section>
                ) : (
                  <>
                    <PanelSheet
                      key={at.panelId}
                      mark={at.mark}
                      draft={draft.panels[at.panelId] ?? EMPTY_PANEL}
                      proposal={proposals.get(at.panelId)}
                      onDraft={(panel) => {
                        setDraft({ ...draft, panels: { ...draft.panels, [at.panelId]: panel } });
                      }}
                    />
                    {place + 1 < panels.length ? (
                      <button
                        type="button"
                        className="quiet next-panel"
                        onClick={() => {
                          setChosen(panels[place + 1]!.panelId);
                        }}
                      >
                        {say('Next panel, {mark}', { mark: panels[place + 1]!.mark })}
                      </button>
                    ) : null}
                  </>
                )}
              </div>
            </div>
            <section className="paper stack" aria-label={say('Record it')}>
              <p className="hint">
                {say(
                  'The numbers 0 to 3 are those of EN 16096, from memory; the words for them are our own.',
                )}
              </p>
              <Cautions keys={['height', 'asbestos-putty', 'untested-paint']} />
              {isKnown ? (
                <div className="caution stack" role="alert">
                  <p>
                    {rich(
                      '<b>This visit is in the archive already.</b>It was recorded from another device, or before something was changed here. Look at it on the window first.',
                      { b: (words) => <b>{words}</b> },
                    )}
                  </p>
                  <p className="row">
                    <button
                      type="button"
                      className="quiet"
                      onClick={() => {
                        setDraft({ ...draft, key: newId() });
                        setKnown(false);
                      }}
                    >
                      {say('Keep what is here as a visit of its own')}
                    </button>
                    <button
                      type="button"
                      className="quiet"
                      onClick={() => {
                        setDraft(emptyDraft(newId(), today()));
                        setKnown(false);
                      }}
                    >
                      {say('Discard what is here')}
                    </button>
                  </p>
                </div>
              ) : (
                <Refusal why={missing ?? why} />
              )}
              <p className="row">
                <button type="button" disabled={busy} onClick={record}>
                  {say('Record the survey')}
                </button>
              </p>
            </section>
          </>
        )}
      </div>
    </Shell>
  );
}
