import type { LaidShards } from '#libs/shards';
import { Figure } from '../platform/figure/Figure.js';
import { say } from '../platform/language/say.js';
import { sayAreaMm2, sayFixed, sayLengthMm, sayMm } from '../platform/say-number.js';

/** What the shards say as they lie: coverage, what is missing, the joints to bond. */
export function ToldPaper({ told }: { told: LaidShards | null }) {
  if (told === null)
    return (
      <section className="paper">
        <p role="status">{say('reckoning…')}</p>
      </section>
    );
  const { joints, overlaps, missing, coverageRatio } = told;
  const missingMm2 = missing.reduce((sum, { areaMm2 }) => sum + areaMm2, 0);
  const jointMm = joints.reduce((sum, { lengthMm }) => sum + lengthMm, 0);
  return (
    <section className="paper stack" aria-label={say('What lies here')}>
      <p className="shards-number">
        <b>{coverageRatio === null ? '–' : `${sayFixed(coverageRatio * 100, 1)} %`}</b>{' '}
        {say('of the piece is covered')}
      </p>
      <table className="facts">
        <tbody>
          <tr>
            <th scope="row">{say('missing glass')}</th>
            <td>
              {missing.length === 0 ? (
                say('none')
              ) : (
                <Figure kind="shards-missing" of={say('missing glass')}>
                  {say('{area} in {parts, plural, one {# part} other {# parts}}', {
                    area: sayAreaMm2(missingMm2),
                    parts: missing.length,
                  })}
                </Figure>
              )}
            </td>
          </tr>
          <tr>
            <th scope="row">{say('joints to bond')}</th>
            <td>
              {joints.length === 0 ? (
                say('none')
              ) : (
                <Figure kind="shards-joints" of={say('joints to bond')}>
                  {say('{length} over {joints, plural, one {# joint} other {# joints}}', {
                    length: sayLengthMm(jointMm),
                    joints: joints.length,
                  })}
                </Figure>
              )}
            </td>
          </tr>
        </tbody>
      </table>
      {overlaps.map(({ a, b, areaMm2 }) => (
        <p key={`${a} ${b}`} role="alert">
          {say('{a} and {b} lie over one another by {area}.', { a, b, area: sayAreaMm2(areaMm2) })}
        </p>
      ))}
      {joints.length === 0 ? null : (
        <details className="how">
          <summary>{say('Each joint')}</summary>
          <table className="facts">
            <tbody>
              {joints.map(({ a, b, lengthMm }) => (
                <tr key={`${a} ${b}`}>
                  <th scope="row">{say('{a} to {b}', { a, b })}</th>
                  <td>{sayMm(lengthMm)}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </details>
      )}
    </section>
  );
}
