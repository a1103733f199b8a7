import type { FlattenReport } from '#libs/net';
import { Figure } from '../platform/figure/Figure.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { sayFixed } from '../platform/say-number.js';
import { sayOff, tapeMm } from './picture-fit.js';

const mostRows = 12;

/** How the picture came to millimetres: every mark and length, the one that disagrees, the lens. */
export function FitTable({ flatten }: { flatten: FlattenReport }) {
  const { marks, distances = [], lens, scale, lensDoubt, notes = [] } = flatten;
  const worst = [...marks].sort((a, b) => b.residualMm - a.residualMm);
  const shown = marks.length > mostRows ? worst.slice(0, 3) : marks;
  const widest = distances.reduce((most, one) => Math.max(most, Math.abs(one.differenceMm)), 0);
  return (
    <section aria-label={say('How the picture was made flat')}>
      <h3>{say('How the picture was made flat')}</h3>
      <table className="facts">
        <caption className="unseen">{say('How well each mark and each length fits')}</caption>
        <tbody>
          {shown.map((mark) => (
            <tr
              key={mark.name}
              data-worst={mark.name === flatten.worstMark && mark.residualMm > tapeMm}
            >
              <th scope="row">
                {rich('mark {name}', { name: mark.name })}
                {mark.name === flatten.worstMark && marks.length > 4 ? say(', the worst') : ''}
                {mark.figure === 'tap' ? say(', as tapped') : ''}
              </th>
              <td>
                <Figure kind="mark-residual" of={say('mark {name}', { name: mark.name })}>
                  {say('{value} mm off', { value: sayFixed(mark.residualMm, 2) })}
                </Figure>
              </td>
            </tr>
          ))}
          {shown.length < marks.length ? (
            <tr>
              <th scope="row">
                {rich('{marks} more marks', { marks: marks.length - shown.length })}
              </th>
              <td>{say('fit better')}</td>
            </tr>
          ) : null}
          {distances.map((one) => (
            <tr
              key={`${one.from} ${one.to}`}
              data-worst={Math.abs(one.differenceMm) === widest && widest > tapeMm}
            >
              <th scope="row">
                {rich('{from} to {to}, {measuredMm} mm by tape', {
                  from: one.from,
                  to: one.to,
                  measuredMm: one.measuredMm,
                })}
              </th>
              <td>{sayOff(one.differenceMm)}</td>
            </tr>
          ))}
          <tr>
            <th scope="row">{say('all marks together')}</th>
            <td>
              <Figure
                kind="flatten-agreement"
                of={say('all marks together')}
                inputs={fitInputs(flatten)}
              >
                {sayAgreement(flatten)}
              </Figure>
            </td>
          </tr>
          {scale ? (
            <tr>
              <th scope="row">{say('the scale is sure to')}</th>
              <td>
                <Figure
                  kind="scale-sure"
                  of={say('the scale is sure to')}
                  inputs={fitInputs(flatten)}
                >
                  {say('± {value} mm over {overMm} mm', {
                    value: sayFixed(scale.plusMinusMm, 1),
                    overMm: Math.round(scale.overMm),
                  })}
                </Figure>
              </td>
            </tr>
          ) : null}
          <tr>
            <th scope="row">{say('bend of the lens')}</th>
            <td>
              {lens
                ? say('taken out, from {source}', { source: lens.source })
                : say('not taken out')}
            </td>
          </tr>
        </tbody>
      </table>
      {[...(lensDoubt ? [lensDoubt.sentence] : []), ...notes].map((sentence) => (
        <p key={sentence} className="detail">
          {sentence}
        </p>
      ))}
    </section>
  );
}

/** What the fit stood on, for the "?" beside it. */
export const fitInputs = ({
  marks,
  distances = [],
  spareMeasurements,
}: FlattenReport): readonly (readonly [string, string])[] => [
  [say('marks'), String(marks.length)],
  [say('lengths by tape'), String(distances.length)],
  ...(spareMeasurements === undefined
    ? []
    : [[say('measurements to spare'), String(spareMeasurements)] as const]),
];

/** Without a spare measurement everything fits: that is no sign of being right. */
export function sayAgreement({ marks, spareMeasurements, rmsMm }: FlattenReport): string {
  const worstMm = Math.max(0, ...marks.map((mark) => mark.residualMm));
  if (spareMeasurements === 0 || (marks.length <= 4 && worstMm < 0.005))
    return say('by {marks, plural, one {# mark} other {# marks}}; one more would show how well', {
      marks: marks.length,
    });
  const spare =
    spareMeasurements === undefined
      ? ''
      : say(', {spareMeasurements, plural, one {# measurement} other {# measurements}} to spare', {
          spareMeasurements,
        });
  return say('within {value} mm, {value2} mm in the mean{spare}', {
    value: sayFixed(worstMm, 2),
    value2: sayFixed(rmsMm, 2),
    spare,
  });
}
