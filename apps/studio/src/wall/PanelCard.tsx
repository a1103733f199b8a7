import { useState } from 'react';
import { CONDITION_WORDS } from '#libs/vocabulary';
import { Swatch } from '../findings/Swatch.js';
import { termWords } from '../findings/term-look.js';
import {
  operationLabel,
  readFindings,
  readOperations,
  readTerms,
} from '../platform/api/findings.js';
import { readPanel } from '../platform/api/panels.js';
import { mayDo } from '../platform/api/state.js';
import type { WindowPanel } from '../platform/api/windows.js';
import { Figure } from '../platform/figure/Figure.js';
import { Go } from '../platform/Go.js';
import { rich } from '../platform/language/rich.js';
import { say, sayWord } from '../platform/language/say.js';
import { pathOf } from '../platform/place.js';
import { sayEntry } from '../platform/say-entry.js';
import { sayMeasure } from '../platform/say-measure.js';
import { sayPanelMm } from '../platform/say-number.js';
import { sayPlace } from '../platform/say-place.js';
import { useSession } from '../platform/session.js';
import { useAnswer } from '../platform/use-answer.js';
import { workStateWords } from '../platform/work-state.js';
import { ConditionForm } from './ConditionForm.js';

/**
 * The record of a panel as it lies beside the elevation.
 * @param isPast another day or an earlier knowledge is looked at: what `panel` says is of then, and
 *   lists that are only known as they are today stay away
 */
export function PanelCard({
  panel,
  mark,
  isPast,
  afterwards,
}: {
  panel: WindowPanel;
  mark: string;
  isPast: boolean;
  /** the archive took something: read anew */
  afterwards: () => void;
}) {
  const { me } = useSession();
  const full = useAnswer(`panel ${panel.panelId}`, (signal) => readPanel(panel.panelId, signal));
  const findings = useAnswer(isPast ? null : `findings ${panel.panelId}`, (signal) =>
    readFindings(panel.panelId, signal),
  );
  const terms = useAnswer('terms', readTerms);
  const operations = useAnswer('operations', readOperations);
  const [setting, setSetting] = useState(false);
  const found = (findings.value ?? []).filter((finding) => finding.state === 'recorded');
  const { panel: over, tight } = full.value?.sizes ?? {};
  const { condition, lastWork } = panel;
  return (
    <article
      className="paper"
      aria-label={say('Record of {mark}', { mark })}
      aria-busy={!full.value}
    >
      <h1>{mark.split('.').slice(1).join('.')}</h1>
      <p className="sub">{(isPast ? null : full.value?.shows) ?? sayPlace(panel.mark)}</p>
      {full.why ? <p role="alert">{full.why}</p> : null}
      <table className="facts">
        <tbody>
          <tr>
            <th scope="row">{say('state of work')}</th>
            <td>{workStateWords[panel.workState]}</td>
          </tr>
          <tr>
            <th scope="row">{say('condition')}</th>
            <td>
              {condition === null
                ? say('no class given')
                : `${typeof condition.conditionClass === 'number' ? `${condition.conditionClass}, ` : ''}${sayWord(CONDITION_WORDS[condition.conditionClass].label)}, ${condition.happened}`}
              {condition === null ? null : <small className="quiet-line">{condition.reason}</small>}
            </td>
          </tr>
          <tr>
            <th scope="row">{say('panel size')}</th>
            <td>
              {over && full.value ? (
                <Figure
                  kind="panel-size"
                  of={say('panel size')}
                  entry={{ line: full.value.siteId, place: full.value.version }}
                >
                  {sayPanelMm(over.widthMm, over.heightMm)}, {sayWord(over.source)}
                </Figure>
              ) : (
                say('not measured')
              )}
            </td>
          </tr>
          {tight ? (
            <tr>
              <th scope="row">{say('tight size of opening')}</th>
              <td>
                <Figure kind="tight-size" of={say('tight size of opening')}>
                  {sayPanelMm(tight.widthMm, tight.heightMm)}, {sayWord(tight.source)}
                </Figure>
              </td>
            </tr>
          ) : null}
          <tr>
            <th scope="row">{say('pieces')}</th>
            <td>
              {panel.signedRevision === null
                ? panel.netRevision === null
                  ? say('not drawn')
                  : say('drawn, not signed')
                : say('{pieces}, signed', { pieces: panel.pieces })}
            </td>
          </tr>
        </tbody>
      </table>
      {setting ? (
        <ConditionForm
          panelId={panel.panelId}
          afterwards={() => {
            setSetting(false);
            afterwards();
          }}
        />
      ) : null}
      <h3>
        <Figure kind="finding-measure" of={say('found here')}>
          {say('Found here{isPast}', { isPast: isPast ? say(' by then') : '' })}
        </Figure>
      </h3>
      {panel.findings === 0 ? <p className="figures">{say('Nothing recorded.')}</p> : null}
      <ul className="lines">
        {isPast
          ? Object.entries(panel.terms).map(([term, count]) => (
              <li key={term}>
                <span>{termWords(terms.value ?? [], term)}</span>
                <span>{count}</span>
              </li>
            ))
          : found.slice(0, 8).map((finding) => (
              <li key={finding.findingId}>
                <Swatch
                  term={terms.value?.find((term) => term.key === finding.term)}
                  kind={finding.geometry.kind}
                />
                <span>
                  {termWords(terms.value ?? [], finding.term)}
                  {finding.inPanel ? say(' in {inPanel}', { inPanel: finding.inPanel }) : ''}
                </span>
                <span>{sayMeasure(finding.measureText)}</span>
              </li>
            ))}
        {found.length > 8 ? (
          <li>
            <span>{rich('and {found} more on the bench', { found: found.length - 8 })}</span>
          </li>
        ) : null}
      </ul>
      {lastWork === null ? null : (
        <>
          <h3>{say('Last done')}</h3>
          <ul className="lines">
            <li>
              <span>{operationLabel(operations.value, lastWork.operation)}</span>
              <span>{lastWork.happened ?? say('no date')}</span>
            </li>
          </ul>
        </>
      )}
      <p className="row card-acts">
        <Go className="act" to={pathOf(mark)}>
          {say('Open on the bench')}
        </Go>
        <Go className="act quiet" to={pathOf(mark, 'papers')}>
          {say('Records')}
        </Go>
        {!isPast && !setting && full.value && mayDo(me, full.value.siteId, 'recorder') ? (
          <button
            type="button"
            className="quiet"
            onClick={() => {
              setSetting(true);
            }}
          >
            {say('Condition class')}
          </button>
        ) : null}
      </p>
      {full.value ? (
        <p className="kept">
          {say('In the archive, {version}. ', { version: sayEntry(full.value.version) })}
          <Go className="word" to={pathOf(mark, 'papers')}>
            {say('How to check it')}
          </Go>
        </p>
      ) : null}
    </article>
  );
}
