import type { LeadRow } from '#libs/custody';
import type { LeadKind } from '#libs/net';
import { kindWords } from '../edit/ChosenPaper.js';
import type { DismantlingBody } from '../platform/api/custody.js';
import { Why } from '../platform/figure/Figure.js';
import { say } from '../platform/language/say.js';
import { sayFixed } from '../platform/say-number.js';

/** A reading with its day; without one it is not in the archive yet. */
export type DatedGauge = NonNullable<DismantlingBody['gauges']>[number] & {
  readonly on?: string;
};

/** What the rubbing gave of each width, and what the gauge says at cut ends, with the difference. */
export function GaugesTable({
  rows,
  gauges,
  waiting,
}: {
  rows: readonly LeadRow[];
  gauges: readonly DatedGauge[];
  /** of them not in the archive yet */
  waiting: number;
}) {
  return (
    <>
      <table className="facts">
        <caption className="unseen">{say('Widths of the leads')}</caption>
        <thead>
          <tr>
            <th scope="col">{say('lead')}</th>
            <th scope="col">{say('rubbed')}</th>
            <th scope="col">{say('gauged')}</th>
            <th scope="col">{say('difference')}</th>
          </tr>
        </thead>
        <tbody>
          {rows.map(({ row, kind, widthClassMm }) => {
            const own = gauges.findLast(
              (one) => (one.kind ?? 'came') === kind && one.widthClassMm === widthClassMm,
            );
            const offMm = own === undefined ? null : own.profile.faceMm - widthClassMm;
            return (
              <tr key={row}>
                <th scope="row">{kindWords[kind as LeadKind].split(':')[0]}</th>
                <td>{say('{mm} mm', { mm: sayFixed(widthClassMm, 1) })}</td>
                <td>
                  {own === undefined
                    ? say('not gauged')
                    : own.on === undefined
                      ? say('{mm} mm', { mm: sayFixed(own.profile.faceMm, 1) })
                      : say('{mm} mm, gauge, {day}', {
                          mm: sayFixed(own.profile.faceMm, 1),
                          day: own.on,
                        })}
                </td>
                <td>
                  {offMm === null
                    ? ''
                    : `${offMm > 0 ? '+' : offMm < 0 ? '−' : '±'}${sayFixed(Math.abs(offMm), 1)} mm`}
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
      <div className="row">
        <p className="hint">
          {waiting === 0
            ? say('The panel’s weight is reckoned with what was gauged.')
            : say('{waiting, plural, one {# reading} other {# readings}} not kept yet.', {
                waiting,
              })}
        </p>
        <Why kind="gauge-difference" of={say('Widths of the leads')} />
      </div>
    </>
  );
}
