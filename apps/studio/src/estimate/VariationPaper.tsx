import type { Variation } from '#libs/estimate';
import { Why } from '../platform/figure/Figure.js';
import { say, sayWord } from '../platform/language/say.js';
import { sayHours } from '../works/say-hours.js';
import { sayMoney } from './say-money.js';

/** The difference between two estimates, line by line; lines that are the same are left out. */
export function VariationPaper({
  heading,
  about,
  variation,
  currency,
}: {
  heading: string;
  about: string | null;
  variation: Variation;
  currency: string;
}) {
  const lines = variation.lines.filter(({ minutes, cost }) => minutes !== 0 || Number(cost) !== 0);
  return (
    <section className="paper stack" aria-label={heading}>
      <div>
        <h2>
          {heading} <Why kind="estimate-hours" of={heading} />
        </h2>
        {about === null ? null : <p className="sub">{about}</p>}
      </div>
      {lines.length === 0 ? <p>{say('No line differs.')}</p> : null}
      <table className="facts estimate-change">
        <thead className="unseen">
          <tr>
            <th scope="col">{say('What')}</th>
            <th scope="col">{say('Hours')}</th>
            <th scope="col">{say('Cost')}</th>
          </tr>
        </thead>
        <tbody>
          {lines.map(({ what, minutes, cost }) => (
            <tr key={what}>
              <th scope="row">{sayWord(what)}</th>
              <td>{sayMore(minutes)}</td>
              <td>{sayMoney(cost, currency, true)}</td>
            </tr>
          ))}
        </tbody>
        <tfoot>
          <tr>
            <th scope="row">{say('Estimated, with what nobody foresees')}</th>
            <td>{sayMore(variation.minutes)}</td>
            <td>
              <b>{sayMoney(variation.total, currency, true)}</b>
            </td>
          </tr>
        </tfoot>
      </table>
    </section>
  );
}

const sayMore = (minutes: number): string =>
  minutes > 0 ? `+${sayHours(minutes)}` : minutes < 0 ? `−${sayHours(-minutes)}` : sayHours(0);
