import type { FlattenReport } from '#libs/net';
import { countOf } from '../platform/say-number.js';
import { sayOff, tapeMm } from './picture-fit.js';

const mostRows = 12;

/** How the picture came to millimetres: every mark and length, the one that disagrees, the lens. */
export function FitTable({ flatten }: { flatten: FlattenReport }) {
  const { marks, distances = [], lens, scale, lensDoubt, notes = [] } = flatten;
  const worst = [...marks].sort((a, b) => b.residualMm - a.residualMm);
  const shown = marks.length > mostRows ? worst.slice(0, 3) : marks;
  const widest = distances.reduce((most, one) => Math.max(most, Math.abs(one.differenceMm)), 0);
  return (
    <section aria-label="How the picture was made flat">
      <h3>How the picture was made flat</h3>
      <table className="facts">
        <caption className="unseen">How well each mark and each length fits</caption>
        <tbody>
          {shown.map((mark) => (
            <tr
              key={mark.name}
              data-worst={mark.name === flatten.worstMark && mark.residualMm > tapeMm}
            >
              <th scope="row">
                mark {mark.name}
                {mark.name === flatten.worstMark && marks.length > 4 ? ', the worst' : ''}
                {mark.figure === 'tap' ? ', as tapped' : ''}
              </th>
              <td>{mark.residualMm.toFixed(2)} mm off</td>
            </tr>
          ))}
          {shown.length < marks.length ? (
            <tr>
              <th scope="row">{marks.length - shown.length} more marks</th>
              <td>fit better</td>
            </tr>
          ) : null}
          {distances.map((one) => (
            <tr
              key={`${one.from} ${one.to}`}
              data-worst={Math.abs(one.differenceMm) === widest && widest > tapeMm}
            >
              <th scope="row">
                {one.from} to {one.to}, {one.measuredMm} mm by tape
              </th>
              <td>{sayOff(one.differenceMm)}</td>
            </tr>
          ))}
          <tr>
            <th scope="row">all marks together</th>
            <td>{sayAgreement(flatten)}</td>
          </tr>
          {scale ? (
            <tr>
              <th scope="row">the scale is sure to</th>
              <td>
                ± {scale.plusMinusMm.toFixed(1)} mm over {Math.round(scale.overMm)} mm
              </td>
            </tr>
          ) : null}
          <tr>
            <th scope="row">bend of the lens</th>
            <td>{lens ? `taken out, from ${lens.source}` : 'not taken out'}</td>
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

/** Without a spare measurement everything fits: that is no sign of being right. */
export function sayAgreement({ marks, spareMeasurements, rmsMm }: FlattenReport): string {
  const worstMm = Math.max(0, ...marks.map((mark) => mark.residualMm));
  if (spareMeasurements === 0 || (marks.length <= 4 && worstMm < 0.005))
    return `by ${countOf(marks.length, 'mark')}; one more would show how well`;
  const spare =
    spareMeasurements === undefined
      ? ''
      : `, ${countOf(spareMeasurements, 'measurement')} to spare`;
  return `within ${worstMm.toFixed(2)} mm, ${rmsMm.toFixed(2)} mm in the mean${spare}`;
}
