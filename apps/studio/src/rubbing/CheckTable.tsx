import { type Net, overallCheck } from '#libs/net';
import { Why } from '../platform/figure/Figure.js';
import { say } from '../platform/language/say.js';
import { sayFixed } from '../platform/say-number.js';
import type { MeasuredPanel } from './PanelCheck.js';
import { sayOff } from './picture-fit.js';

const lengthWords = {
  width: say('width'),
  height: say('height'),
  diagonal1: say('diagonal from top left'),
  diagonal2: say('diagonal from top right'),
} as const;

/** Size and diagonals as measured on the panel beside what the drawing makes of them. */
export function CheckTable({ net, measured }: { net: Net; measured: MeasuredPanel }) {
  const check = overallCheck(net, measured);
  return (
    <section aria-label={say('Measured on the panel and in the drawing')}>
      <h3>{say('Over the outer leads, mm')}</h3>
      <table className="facts three-figures">
        <thead>
          <tr>
            <td />
            <th scope="col">{say('on the panel')}</th>
            <th scope="col">{say('in the drawing')}</th>
            <th scope="col">
              {say('differs')} <Why kind="overall-check" of={say('differs')} />
            </th>
          </tr>
        </thead>
        <tbody>
          {check.lengths.map((length) => (
            <tr key={length.key} data-worst={length.verdict === 'differs'}>
              <th scope="row">{lengthWords[length.key]}</th>
              <td>{sayFixed(length.measuredMm, 1)}</td>
              <td>{length.drawnMm === null ? say('none') : sayFixed(length.drawnMm, 1)}</td>
              <td>{length.differenceMm === null ? '' : sayOff(length.differenceMm)}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <p className="detail" data-verdict={check.verdict}>
        {check.sentence}
      </p>
    </section>
  );
}
