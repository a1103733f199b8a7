import { useState } from 'react';
import { lengthOf } from '../drawing/plane.js';
import { signNet } from '../platform/api/nets.js';
import { Figure } from '../platform/figure/Figure.js';
import { Go } from '../platform/Go.js';
import { rich } from '../platform/language/rich.js';
import { say, sayWord } from '../platform/language/say.js';
import { setWords } from '../platform/navigate.js';
import { pathOf } from '../platform/place.js';
import { Refusal } from '../platform/Refusal.js';
import { sayEntry } from '../platform/say-entry.js';
import { sayAreaMm2, sayLengthMm, sayPanelMm } from '../platform/say-number.js';
import { sayPlace } from '../platform/say-place.js';
import { useAct } from '../platform/use-act.js';
import { fitInputs, sayAgreement } from '../rubbing/FitTable.js';
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
    <article
      className="paper"
      aria-label={say('Record of {fullMark}', { fullMark: panel.fullMark })}
    >
      <h1>{panel.fullMark.split('.').slice(1).join('.')}</h1>
      <p className="sub">{panel.shows ?? sayPlace(panel.mark)}</p>
      <NextActButton bench={bench} next={next} />
      <table className="facts">
        <tbody>
          <tr>
            <th scope="row">{say('state of work')}</th>
            <td>
              <WorkStateWord bench={bench} />
            </td>
          </tr>
          <tr>
            <th scope="row">{say('panel size')}</th>
            <td>
              {size ? (
                <Figure
                  kind="panel-size"
                  of={say('panel size')}
                  entry={{ line: panel.siteId, place: panel.version }}
                >
                  {sayPanelMm(size.widthMm, size.heightMm)}, {sayWord(size.source)}
                </Figure>
              ) : (
                say('not measured')
              )}{' '}
              <Go className="word" to={pathOf(panel.fullMark, 'measure')}>
                {size ? say('change') : say('measure')}
              </Go>
            </td>
          </tr>
          {tight ? (
            <tr>
              <th scope="row">{say('tight size of opening')}</th>
              <td>
                <Figure
                  kind="tight-size"
                  of={say('tight size of opening')}
                  entry={{ line: panel.siteId, place: panel.version }}
                >
                  {sayPanelMm(tight.widthMm, tight.heightMm)}, {sayWord(tight.source)}
                </Figure>
              </td>
            </tr>
          ) : null}
          <tr>
            <th scope="row">{say('pieces')}</th>
            <td>
              {traced
                ? say(
                    '{provisional, plural, one {# provisional number} other {# provisional numbers}}',
                    { provisional },
                  )
                : say('{pieces}, drawn', { pieces: net.pieces.length })}
              {!traced && provisional > 0
                ? say(
                    '; {provisional, plural, one {# provisional number} other {# provisional numbers}}',
                    { provisional },
                  )
                : ''}
            </td>
          </tr>
          {traced ? null : (
            <>
              <tr>
                <th scope="row">{say('lead')}</th>
                <td>
                  <Figure
                    kind="lead-length"
                    of={say('lead')}
                    inputs={[[say('leads of the drawing'), String(net.leads.length)]]}
                  >
                    {say('{leads, plural, one {# segment} other {# segments}}', {
                      leads: net.leads.length,
                    })}
                    ,{' '}
                    {say('{leads}, computed', {
                      leads: sayLengthMm(
                        net.leads.reduce((sum, lead) => sum + lengthOf(lead.lineMm), 0),
                      ),
                    })}
                  </Figure>
                </td>
              </tr>
              <tr>
                <th scope="row">{say('glass')}</th>
                <td>
                  <Figure
                    kind="glass-area"
                    of={say('glass')}
                    inputs={[[say('pieces'), String(net.pieces.length)]]}
                  >
                    {say('{pieces}, computed', {
                      pieces: sayAreaMm2(net.pieces.reduce((sum, piece) => sum + piece.areaMm2, 0)),
                    })}
                  </Figure>
                </td>
              </tr>
              {net.flatten ? (
                <tr>
                  <th scope="row">{say('rubbing made flat')}</th>
                  <td>
                    <Figure
                      kind="flatten-agreement"
                      of={say('rubbing made flat')}
                      inputs={fitInputs(net.flatten)}
                    >
                      {sayAgreement(net.flatten)}
                    </Figure>
                  </td>
                </tr>
              ) : null}
              <tr>
                <th scope="row">{say('in doubt')}</th>
                <td>
                  <Figure kind="doubts" of={say('in doubt')}>
                    <button
                      type="button"
                      className="word"
                      onClick={() => {
                        setWords({ doubts: 'yes' });
                      }}
                    >
                      {say('{net, plural, one {# place} other {# places}}', {
                        net: doubtsOf(net).length,
                      })}
                    </button>
                  </Figure>
                </td>
              </tr>
            </>
          )}
          <tr>
            <th scope="row">{say('findings')}</th>
            <td>
              <Figure kind="finding-count" of={say('findings')}>
                {recorded}
              </Figure>
            </td>
          </tr>
        </tbody>
      </table>
      {traced ? null : (
        <p className="row">
          <Go className="act quiet" to={pathOf(panel.fullMark, 'print')}>
            {say('Print it, or take it as a file')}
          </Go>
          <Go className="act quiet" to={pathOf(panel.fullMark, 'draw')}>
            {say('draw on it by hand')}
          </Go>
        </p>
      )}
      <h3>{say('Also here')}</h3>
      <p className="row also">
        <Go className="word" to={pathOf(panel.fullMark, 'send')}>
          {say('send pictures')}
        </Go>
        <Go className="word" to={`/phone?mark=${encodeURIComponent(panel.fullMark)}`}>
          {say('photograph it')}
        </Go>
        <Go className="word" to={pathOf(panel.fullMark, 'rub')}>
          {say('rubbings')}
        </Go>
        <Go className="word" to={pathOf(panel.fullMark, 'trace')}>
          {say('trace a piece')}
        </Go>
        <Go className="word" to={pathOf(panel.fullMark, 'import')}>
          {say('import a cartoon')}
        </Go>
        {traced ? null : (
          <Go className="word" to={pathOf(panel.fullMark, 'glass')}>
            {say('glass and cut list')}
          </Go>
        )}
        {traced ? (
          <Go className="word" to={pathOf(panel.fullMark, 'print')}>
            {say('labels')}
          </Go>
        ) : null}
        <Go className="word" to={pathOf(panel.fullMark, 'tests')}>
          {say('tests')}
        </Go>
        <Go className="word" to={pathOf(panel.fullMark, 'bulge')}>
          {say('bulge')}
        </Go>
        <Go className="word" to={pathOf(panel.fullMark, 'weight')}>
          {say('weight')}
        </Go>
        {traced ? null : (
          <Go className="word" to={pathOf(panel.fullMark, 'apart')}>
            {say('take it apart')}
          </Go>
        )}
        {traced ? null : (
          <Go className="word" to={pathOf(panel.fullMark, 'rebuild')}>
            {say('list of the rebuild')}
          </Go>
        )}
        <Go className="word" to={pathOf(panel.fullMark, 'work')}>
          {say('work done')}
        </Go>
        <Go className="word" to={pathOf(panel.fullMark, 'papers')}>
          {say('records and dossier')}
        </Go>
      </p>
      <p className="kept">
        {say('In the archive, {version}. ', { version: sayEntry(panel.version) })}
        <Go className="word" to={pathOf(panel.fullMark, 'papers')}>
          {say('How to check it')}
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
            {rich(
              'look at the doubts one by one<small>{doubts, plural, one {# place} other {# places}}, the worst first</small>',
              { small: (words) => <small>{words}</small>, doubts },
            )}
          </span>
        </Go>
      ) : null}
      {sure ? (
        <div className="caution">
          <b>{say('Signing fixes the piece numbers for ever.')}</b>
          {doubts > 0
            ? say(
                '{doubts, plural, one {# place} other {# places}} in doubt stay marked on the drawing. Look at them against the panel first.',
                { doubts },
              )
            : say('Look at the drawing against the panel first.')}
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
          {sure ? say('Sign this drawing') : next.words}
          <small>
            {sure
              ? say('revision {netRevision}', { netRevision: panel.netRevision ?? 0 })
              : next.because}
          </small>
        </span>
      </button>
      <Refusal why={why} />
    </div>
  );
}
