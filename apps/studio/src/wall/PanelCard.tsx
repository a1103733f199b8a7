import { entryName } from '#libs/ledger';
import { Swatch } from '../findings/Swatch.js';
import { termWords } from '../findings/term-look.js';
import { readFindings, readTerms } from '../platform/api/findings.js';
import { readInterventions } from '../platform/api/interventions.js';
import { readPanel } from '../platform/api/panels.js';
import type { WindowPanel } from '../platform/api/windows.js';
import { edtfSpan } from '../platform/edtf-span.js';
import { Go } from '../platform/Go.js';
import { pathOf } from '../platform/place.js';
import { sayPanelMm } from '../platform/say-number.js';
import { sayPlace } from '../platform/say-place.js';
import { useAnswer } from '../platform/use-answer.js';
import { workStateWords } from '../platform/work-state.js';

/** The record of a panel as it lies beside the elevation. `until`: year that is looked back to. */
export function PanelCard({
  panel,
  mark,
  until,
}: {
  panel: WindowPanel;
  mark: string;
  until: number | null;
}) {
  const full = useAnswer(`panel ${panel.panelId}`, (signal) => readPanel(panel.panelId, signal));
  const findings = useAnswer(`findings ${panel.panelId}`, (signal) =>
    readFindings(panel.panelId, signal),
  );
  const terms = useAnswer('terms', readTerms);
  const work = useAnswer(full.value ? `work ${mark}` : null, (signal) =>
    readInterventions(full.value?.siteId ?? '', mark, signal),
  );
  const inTime = (happened: string | null) =>
    until === null || (happened !== null && (edtfSpan(happened)?.to ?? Infinity) <= until);
  const found = (findings.value ?? []).filter(
    (finding) => finding.state === 'recorded' && inTime(finding.happened),
  );
  const done = (work.value ?? []).filter((item) => inTime(item.happened));
  const { panel: over, tight } = full.value?.sizes ?? {};
  return (
    <article className="paper" aria-label={`Record of ${mark}`} aria-busy={!full.value}>
      <h1>{mark.split('.').slice(1).join('.')}</h1>
      <p className="sub">{full.value?.shows ?? sayPlace(panel.mark)}</p>
      {full.why ? <p role="alert">{full.why}</p> : null}
      <table className="facts">
        <tbody>
          <tr>
            <th scope="row">state of work</th>
            <td>{workStateWords[panel.workState]}</td>
          </tr>
          <tr>
            <th scope="row">panel size</th>
            <td>
              {over ? `${sayPanelMm(over.widthMm, over.heightMm)}, ${over.source}` : 'not measured'}
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
              {panel.signedRevision === null
                ? panel.netRevision === null
                  ? 'not drawn'
                  : 'drawn, not signed'
                : `${panel.pieces}, signed`}
            </td>
          </tr>
        </tbody>
      </table>
      <h3>Found here{until === null ? '' : ' by then'}</h3>
      {found.length === 0 ? <p className="figures">Nothing recorded.</p> : null}
      <ul className="lines">
        {found.slice(0, 8).map((finding) => (
          <li key={finding.findingId}>
            <Swatch
              term={terms.value?.find((term) => term.key === finding.term)}
              kind={finding.geometry.kind}
            />
            <span>
              {termWords(terms.value ?? [], finding.term)}
              {finding.inPanel ? ` in ${finding.inPanel}` : ''}
            </span>
            <span>{finding.measureText}</span>
          </li>
        ))}
        {found.length > 8 ? (
          <li>
            <span>and {found.length - 8} more on the bench</span>
          </li>
        ) : null}
      </ul>
      {done.length === 0 ? null : (
        <>
          <h3>Last done</h3>
          <ul className="lines">
            {done.slice(-3).map((item) => (
              <li key={item.interventionId}>
                <span>
                  {item.operation.replaceAll('.', ' ')}
                  {item.material ? `, ${item.material}` : ''}
                </span>
                <span>{item.happened ?? ''}</span>
              </li>
            ))}
          </ul>
        </>
      )}
      <p className="row card-acts">
        <Go className="act" to={pathOf(mark)}>
          Open on the bench
        </Go>
        <Go className="act quiet" to={pathOf(mark, 'papers')}>
          Records
        </Go>
      </p>
      {full.value ? (
        <p className="kept">
          In the archive, {entryName(full.value.version)}.{' '}
          <Go className="word" to={pathOf(mark, 'papers')}>
            How to check it
          </Go>
        </p>
      ) : null}
    </article>
  );
}
