import { type Net, overallCheck } from '#libs/net';
import type { MeasuredPanel } from './PanelCheck.js';
import { sayOff } from './picture-fit.js';

const lengthWords = {
  width: 'width',
  height: 'height',
  diagonal1: 'diagonal from top left',
  diagonal2: 'diagonal from top right',
} as const;

/** Size and diagonals as measured on the panel beside what the drawing makes of them. */
export function CheckTable({ net, measured }: { net: Net; measured: MeasuredPanel }) {
  const check = overallCheck(net, measured);
  return (
    <section aria-label="Measured on the panel and in the drawing">
      <h3>Over the outer leads, mm</h3>
      <table className="facts three-figures">
        <thead>
          <tr>
            <td />
            <th scope="col">on the panel</th>
            <th scope="col">in the drawing</th>
            <th scope="col">differs</th>
          </tr>
        </thead>
        <tbody>
          {check.lengths.map((length) => (
            <tr key={length.key} data-worst={length.verdict === 'differs'}>
              <th scope="row">{lengthWords[length.key]}</th>
              <td>{length.measuredMm.toFixed(1)}</td>
              <td>{length.drawnMm === null ? 'none' : length.drawnMm.toFixed(1)}</td>
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
