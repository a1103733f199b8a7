import { useState } from 'react';
import { entryName } from '#libs/ledger';
import { lengthOf } from '../drawing/plane.js';
import { signNet } from '../platform/api/nets.js';
import { Go } from '../platform/Go.js';
import { setWords } from '../platform/navigate.js';
import { pathOf } from '../platform/place.js';
import { Refusal } from '../platform/Refusal.js';
import { countOf, sayAreaMm2, sayLengthMm, sayPanelMm } from '../platform/say-number.js';
import { sayPlace } from '../platform/say-place.js';
import { useAct } from '../platform/use-act.js';
import { sayAgreement } from '../rubbing/FitTable.js';
import { type NextAct, nextAct } from './next-act.js';
import { doubtsOf, panelRecord } from './panel-record.js';
import type { Bench } from './use-bench.js';
import { WorkStateWord } from './WorkStateWord.js';

/** The record of the panel: sizes and their sources, the drawing, what comes next. */
export function PanelPaper({ bench }: { bench: Bench }) {
  const { panel, net, traced, findings, pieces } = bench;
  const next = nextAct(panelRecord(bench));
  const size = panel.sizes.panel;
  const tight = panel.sizes.tight;
  const recorded = findings.filter((finding) => finding.state === 'recorded').length;
  const provisional = pieces.filter((piece) => piece.provisional && !piece.carriedTo).length;
  return (
    <article className="paper" aria-label={`Record of ${panel.fullMark}`}>
      <h1>{panel.fullMark.split('.').slice(1).join('.')}</h1>
      <p className="sub">{panel.shows ?? sayPlace(panel.mark)}</p>
      <NextActButton bench={bench} next={next} />
      <table className="facts">
        <tbody>
          <tr>
            <th scope="row">state of work</th>
            <td>
              <WorkStateWord bench={bench} />
            </td>
          </tr>
          <tr>
            <th scope="row">panel size</th>
            <td>
              {size ? `${sayPanelMm(size.widthMm, size.heightMm)}, ${size.source}` : 'not measured'}{' '}
              <Go className="word" to={pathOf(panel.fullMark, 'measure')}>
                {size ? 'change' : 'measure'}
              </Go>
            </td>
          </tr>
          {tight ? (
            <tr>
              <th scope="row">tight size of opening</th>
              <td>
                {sayPanelMm(tight.widthMm, tight.heightMm)}, {tight.source}
              </td>
            </tr>
          ) : null}
          <tr>
            <th scope="row">pieces</th>
            <td>
              {traced ? countOf(provisional, 'provisional number') : `${net.pieces.length}, drawn`}
              {!traced && provisional > 0 ? `; ${countOf(provisional, 'provisional number')}` : ''}
            </td>
          </tr>
          {traced ? null : (
            <>
              <tr>
                <th scope="row">lead</th>
                <td>
                  {countOf(net.leads.length, 'segment')},{' '}
                  {sayLengthMm(net.leads.reduce((sum, lead) => sum + lengthOf(lead.lineMm), 0))},
                  computed
                </td>
              </tr>
              <tr>
                <th scope="row">glass</th>
                <td>
                  {sayAreaMm2(net.pieces.reduce((sum, piece) => sum + piece.areaMm2, 0))}, computed
                </td>
              </tr>
              {net.flatten ? (
                <tr>
                  <th scope="row">rubbing made flat</th>
                  <td>{sayAgreement(net.flatten)}</td>
                </tr>
              ) : null}
              <tr>
                <th scope="row">in doubt</th>
                <td>
                  <button
                    type="button"
                    className="word"
                    onClick={() => {
                      setWords({ doubts: 'yes' });
                    }}
                  >
                    {countOf(doubtsOf(net).length, 'place')}
                  </button>
                </td>
              </tr>
            </>
          )}
          <tr>
            <th scope="row">findings</th>
            <td>{recorded}</td>
          </tr>
        </tbody>
      </table>
      {traced ? null : (
        <p className="row">
          <Go className="act quiet" to={pathOf(panel.fullMark, 'print')}>
            Print it, or take it as a file
          </Go>
          <Go className="act quiet" to={pathOf(panel.fullMark, 'draw')}>
            draw on it by hand
          </Go>
        </p>
      )}
      <h3>Also here</h3>
      <p className="row also">
        <Go className="word" to={pathOf(panel.fullMark, 'send')}>
          send pictures
        </Go>
        <Go className="word" to={`/phone?mark=${encodeURIComponent(panel.fullMark)}`}>
          photograph it
        </Go>
        <Go className="word" to={pathOf(panel.fullMark, 'rub')}>
          rubbings
        </Go>
        <Go className="word" to={pathOf(panel.fullMark, 'trace')}>
          trace a piece
        </Go>
        <Go className="word" to={pathOf(panel.fullMark, 'import')}>
          import a cartoon
        </Go>
        {traced ? (
          <Go className="word" to={pathOf(panel.fullMark, 'print')}>
            labels
          </Go>
        ) : null}
        <Go className="word" to={pathOf(panel.fullMark, 'work')}>
          work done
        </Go>
        <Go className="word" to={pathOf(panel.fullMark, 'papers')}>
          records and dossier
        </Go>
      </p>
      <p className="kept">
        In the archive, {entryName(panel.version)}.{' '}
        <Go className="word" to={pathOf(panel.fullMark, 'papers')}>
          How to check it
        </Go>
      </p>
    </article>
  );
}

function NextActButton({ bench, next }: { bench: Bench; next: NextAct }) {
  const { panel } = bench;
  const { busy, why, run } = useAct();
  const [sure, setSure] = useState(false);
  if (next.act === 'carry-over') return null;
  if (next.act !== 'sign')
    return (
      <Go className="act next" to={pathOf(panel.fullMark, next.act, next.thing)}>
        <span>
          {next.words}
          <small>{next.because}</small>
        </span>
      </Go>
    );
  const doubts = doubtsOf(bench.net).length;
  return (
    <div className="stack next-sign">
      {doubts > 0 && !sure ? (
        <Go className="act next" to={`${pathOf(panel.fullMark, 'draw')}?doubts=yes`}>
          <span>
            look at the doubts one by one
            <small>{countOf(doubts, 'place')}, the worst first</small>
          </span>
        </Go>
      ) : null}
      {sure ? (
        <div className="caution">
          <b>Signing fixes the piece numbers for ever.</b>
          {doubts > 0
            ? `${countOf(doubts, 'place')} in doubt stay marked on the drawing. Look at them against the panel first.`
            : 'Look at the drawing against the panel first.'}
        </div>
      ) : null}
      <button
        type="button"
        className={doubts > 0 && !sure ? 'next quiet' : 'next'}
        disabled={busy}
        onClick={() => {
          if (!sure) {
            setSure(true);
            setWords({ doubts: 'yes' });
            return;
          }
          void run(async () => {
            await signNet(panel.panelId, panel.netRevision ?? 0);
            setWords({ doubts: null });
            bench.again();
          });
        }}
      >
        <span>
          {sure ? 'Sign this drawing' : next.words}
          <small>{sure ? `revision ${panel.netRevision ?? 0}` : next.because}</small>
        </span>
      </button>
      <Refusal why={why} />
    </div>
  );
}
