import { type ReactNode, useEffect, useRef, useState } from 'react';
import { doubtCount } from '../bench/panel-record.js';
import type { Bench } from '../bench/use-bench.js';
import { readNet } from '../platform/api/nets.js';
import type { Rubbing } from '../platform/api/panels.js';
import { Go } from '../platform/Go.js';
import { say } from '../platform/language/say.js';
import { Progress } from '../platform/Progress.js';
import { pathOf } from '../platform/place.js';
import { useAnswer } from '../platform/use-answer.js';
import { useJob } from '../platform/use-job.js';
import { CheckTable } from './CheckTable.js';
import { FitTable } from './FitTable.js';
import { measuredPanel } from './PanelCheck.js';

/** The reading under way, and what came of it: the fit of each mark, the check, what is in doubt. */
export function ReadingPaper({
  bench,
  rubbing,
  jobId,
  strip,
  onDone,
  onBack,
}: {
  bench: Bench;
  rubbing: Rubbing;
  jobId: string;
  /** the pictures, to look at the marks of each */
  strip: ReactNode;
  onDone: (revision: number) => void;
  onBack: () => void;
}) {
  const { panel } = bench;
  const [revision, setRevision] = useState<number | null>(null);
  const { progress, failed: why } = useJob(
    jobId,
    ({ revision: read }) => {
      const made = Number(read ?? 1);
      setRevision(made);
      onDone(made);
    },
    say('The reading failed.'),
  );
  const net = useAnswer(revision === null ? null : `net ${panel.panelId} ${revision}`, (signal) =>
    readNet(panel.panelId, revision ?? 0, signal),
  );
  useAgainOnLeaving(revision !== null, bench.again);
  if (why !== undefined)
    return (
      <section className="paper stack">
        <h2>{say('The leads could not be read')}</h2>
        <p role="alert" className="refused">
          {why}
        </p>
        <div className="row">
          <button type="button" onClick={onBack}>
            {say('Back to the marks')}
          </button>
        </div>
      </section>
    );
  if (revision === null)
    return (
      <section className="paper stack" aria-live="polite">
        <h2>{say('Reading the leads')}</h2>
        {progress ? <Progress stage={progress.stage} ratio={progress.ratio} /> : null}
        <p className="hint">
          {say('You may leave this screen; the drawing will be on the bench.')}
        </p>
      </section>
    );
  if (!net.value)
    return (
      <section className="paper stack" aria-live="polite">
        <h2>{say('The leads are read')}</h2>
        <p role="status">{net.why ?? say('bringing the drawing…')}</p>
      </section>
    );
  const doubts = doubtCount(net.value);
  const measured = measuredPanel(bench, rubbing);
  return (
    <section className="paper stack" aria-live="polite">
      <div>
        <h2>{say('The leads are read')}</h2>
        <p className="sub">
          {say('{pieces, plural, one {# piece} other {# pieces}}', {
            pieces: net.value.pieces.length,
          })}
          ,{' '}
          {say('{leads, plural, one {# lead segment} other {# lead segments}}', {
            leads: net.value.leads.length,
          })}
          ,{' '}
          {say('{doubts}. Revision ', {
            doubts:
              doubts === 0
                ? say('nothing in doubt')
                : say('{doubts, plural, one {# place} other {# places}} in doubt', { doubts }),
          })}
          {revision}, {net.value.surface === 'plan' ? say('in plan') : say('developed')}.
        </p>
      </div>
      {strip}
      {measured ? <CheckTable net={net.value} measured={measured} /> : null}
      {net.value.flatten ? <FitTable flatten={net.value.flatten} /> : null}
      <div className="row">
        <Go className="act" to={`${pathOf(panel.fullMark)}?doubts=yes`}>
          {say('See the drawing on the bench')}
        </Go>
        <Go className="act quiet" to={pathOf(panel.fullMark, 'found')}>
          {say('How was this found?')}
        </Go>
        <button type="button" className="quiet" onClick={onBack}>
          {say('Set the marks again')}
        </button>
      </div>
    </section>
  );
}

/** The bench learns of the new drawing when one leaves: while it is laid out again, this room is closed. */
function useAgainOnLeaving(isDone: boolean, again: () => void): void {
  const asked = useRef(again);
  useEffect(() => {
    asked.current = again;
  });
  useEffect(
    () => () => {
      if (isDone) asked.current();
    },
    [isDone],
  );
}
