import './walk.css';
import { useEffect, useState } from 'react';
import { readFindings, withdrawFinding } from '../../platform/api/findings.js';
import { resolveMark } from '../../platform/api/sites.js';
import { Go } from '../../platform/Go.js';
import { say } from '../../platform/language/say.js';
import { useHere } from '../../platform/navigate.js';
import { pathOf } from '../../platform/place.js';
import { sayEntry } from '../../platform/say-entry.js';
import { useAct } from '../../platform/use-act.js';
import { useAnswer } from '../../platform/use-answer.js';
import { newWalk, readWalk, WALK_PANEL, type Walk, walkOn, walkSteps } from './walk-steps.js';

const PLACE = 'mullion first walk';
const LOOK_AGAIN_MS = 2000;

const sayStep: Readonly<Record<Walk['step'], string>> = {
  find: say('Type SLM.sII.2a into the box at the top and press Enter.'),
  rubbing: say('This is a panel on the bench. In its record, under “Also here”, open “rubbings”.'),
  crack: say(
    'Go back to the bench, press “crack”, draw one stroke along the glass, and record it. By keys: g, c, then arrows and Enter.',
  ),
  record: say('Open “records and dossier” in the panel’s record: the crack is printed there.'),
  undo: say('That was the whole way. It was practice: take the crack back, or leave it.'),
};

const kept = (): Walk => {
  try {
    return readWalk(window.localStorage.getItem(PLACE));
  } catch {
    return newWalk;
  }
};

/** A real task on the demo, a line at a time; each step is ticked by the act itself, never by a press on "next". */
export function WalkStrip() {
  const { place } = useHere();
  const [walk, setWalk] = useState(kept);
  const { busy, why, run } = useAct();
  useEffect(() => {
    try {
      window.localStorage.setItem(PLACE, JSON.stringify(walk));
    } catch {
      // A browser that keeps nothing walks in one go.
    }
  }, [walk]);
  const asks = walk.state === 'going' && (walk.step === 'crack' || walk.step === 'undo');
  const findings = useAnswer(asks ? 'walk findings' : null, async (signal) => {
    const { panelId } = await resolveMark(WALK_PANEL, signal);
    return readFindings(panelId ?? '', signal);
  });
  const { again } = findings;
  useEffect(() => {
    if (!asks) return;
    const timer = setInterval(again, LOOK_AGAIN_MS);
    return () => {
      clearInterval(timer);
    };
  }, [asks, again]);
  const on = walkOn(walk, {
    mark: place.on === 'mark' ? place.mark : null,
    act: place.on === 'mark' ? place.act : null,
    findings: findings.value ?? null,
  });
  // An act that was done moves the walk on before it is shown; what it came to is kept after.
  if (on !== walk) setWalk(on);
  const { state, step } = on;
  useEffect(() => {
    if (state === 'going') document.documentElement.dataset['walk'] = step;
    else delete document.documentElement.dataset['walk'];
  }, [state, step]);

  if (state === 'done')
    return (
      <section className="walk" aria-label={say('First walk')}>
        <p role="status">{say('The first walk is done.')}</p>
        <button
          type="button"
          className="word"
          onClick={() => {
            setWalk({ ...newWalk, state: 'going' });
          }}
        >
          {say('walk it again')}
        </button>
      </section>
    );
  if (state !== 'going')
    return (
      <section className="walk" aria-label={say('First walk')}>
        <p>
          {state === 'new'
            ? say('New here? Mark a crack on a real panel, in five steps.')
            : say('The first walk waits for you.')}
        </p>
        <button
          type="button"
          className="word"
          onClick={() => {
            setWalk({ ...walk, state: 'going' });
          }}
        >
          {state === 'new' ? say('begin the walk') : say('take it up again')}
        </button>
      </section>
    );
  const { marked } = on;
  return (
    <section className="walk" aria-label={say('First walk')}>
      <p role="status">
        <b>{say('{at} of {of}', { at: walkSteps.indexOf(step) + 1, of: walkSteps.length })}</b>{' '}
        {step === 'record' && marked
          ? `${say('It is in the archive, {entry}.', { entry: sayEntry(marked.entrySeq) })} `
          : ''}
        {why ?? sayStep[step]}
      </p>
      {step === 'crack' && place.on === 'mark' && place.act === 'rub' ? (
        <Go className="word" to={pathOf(WALK_PANEL)}>
          {say('to the bench')}
        </Go>
      ) : null}
      {step === 'undo' && marked ? (
        <>
          <button
            type="button"
            className="word"
            disabled={busy}
            onClick={() => {
              void run(async () => {
                const own = findings.value?.find(({ findingId }) => findingId === marked.findingId);
                if (own) await withdrawFinding(own.findingId, say('practice'), own.version);
                again();
              });
            }}
          >
            {say('take it back')}
          </button>
          <button
            type="button"
            className="word"
            onClick={() => {
              setWalk({ ...walk, state: 'done' });
            }}
          >
            {say('leave it there')}
          </button>
        </>
      ) : (
        <button
          type="button"
          className="word"
          onClick={() => {
            setWalk({ ...on, state: 'left' });
          }}
        >
          {say('not now')}
        </button>
      )}
    </section>
  );
}
