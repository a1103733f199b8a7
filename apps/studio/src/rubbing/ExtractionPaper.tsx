import { useEffect, useState } from 'react';
import { sayFit } from '../bench/PanelPaper.js';
import { doubtsOf } from '../bench/panel-record.js';
import type { Bench } from '../bench/use-bench.js';
import { followJob, type JobProgress } from '../platform/api/jobs.js';
import { readNet } from '../platform/api/nets.js';
import { goTo } from '../platform/navigate.js';
import { Progress } from '../platform/Progress.js';
import { pathOf } from '../platform/place.js';
import { countOf } from '../platform/say-number.js';
import { reason, useAnswer } from '../platform/use-answer.js';

/** Tracing under way, and what came of it: the fit of each mark in mm and what is in doubt. */
export function ExtractionPaper({
  bench,
  jobId,
  onBack,
}: {
  bench: Bench;
  jobId: string;
  onBack: () => void;
}) {
  const { panel } = bench;
  const [progress, setProgress] = useState<JobProgress>({
    stage: 'waiting for the worker',
    ratio: 0,
  });
  const [revision, setRevision] = useState<number | null>(null);
  const [why, setWhy] = useState<string>();
  useEffect(() => {
    const leaving = new AbortController();
    followJob(jobId, setProgress, leaving.signal).then(
      (end) => {
        if (end.done) setRevision(Number(end.result['revision'] ?? 1));
        else setWhy(end.problem.detail ?? end.problem.title ?? 'The tracing failed.');
      },
      (error: unknown) => {
        if (!leaving.signal.aborted) setWhy(reason(error));
      },
    );
    return () => {
      leaving.abort();
    };
  }, [jobId]);
  const net = useAnswer(revision === null ? null : `net ${panel.panelId} ${revision}`, (signal) =>
    readNet(panel.panelId, revision ?? 0, signal),
  );
  const doubts = net.value ? doubtsOf(net.value).length : 0;
  return (
    <section className="paper stack" aria-live="polite">
      <h2>
        {revision === null
          ? why === undefined
            ? 'Tracing the leads'
            : 'The tracing stopped'
          : 'Traced'}
      </h2>
      {why !== undefined ? (
        <>
          <p role="alert" className="refused">
            {why}
          </p>
          <div className="row">
            <button type="button" onClick={onBack}>
              Back to the marks
            </button>
          </div>
        </>
      ) : revision === null ? (
        <>
          <Progress stage={progress.stage} ratio={progress.ratio} />
          <p className="hint">You may leave this screen; the drawing will be on the bench.</p>
        </>
      ) : net.value ? (
        <>
          <p>
            {countOf(net.value.pieces.length, 'piece')},{' '}
            {countOf(net.value.leads.length, 'lead segment')},{' '}
            {doubts === 0 ? 'nothing in doubt' : `${countOf(doubts, 'place')} in doubt`}. Measured
            on generated rubbings only so far: hold it against the panel.
          </p>
          {net.value.flatten ? (
            <table className="facts">
              <caption className="unseen">How well each mark fits</caption>
              <tbody>
                {net.value.flatten.marks.map((mark) => (
                  <tr key={mark.name}>
                    <th scope="row">
                      mark {mark.name}
                      {mark.name === net.value?.flatten?.worstMark ? ', the worst' : ''}
                    </th>
                    <td>{mark.residualMm.toFixed(2)} mm off</td>
                  </tr>
                ))}
                <tr>
                  <th scope="row">all marks together</th>
                  <td>{sayFit(net.value.flatten)}</td>
                </tr>
              </tbody>
            </table>
          ) : null}
          <div className="row">
            <button
              type="button"
              onClick={() => {
                bench.again();
                goTo(`${pathOf(panel.fullMark)}?doubts=yes`);
              }}
            >
              See the drawing on the bench
            </button>
            <button type="button" className="quiet" onClick={onBack}>
              Set the marks again
            </button>
          </div>
        </>
      ) : (
        <p role="status">{net.why ?? 'bringing the drawing…'}</p>
      )}
    </section>
  );
}
