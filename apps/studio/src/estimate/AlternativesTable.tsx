import type { MoneyRange } from '#libs/estimate';
import type { Estimate } from '../platform/api/estimates.js';
import { say, sayWord } from '../platform/language/say.js';
import { sayHours } from '../works/say-hours.js';
import { type Alternative, linesNamed, namesOf } from './lines-of.js';
import { sayMoney, sayPercent, saySpread } from './say-money.js';

/** At the desk: the lines as rows, the alternatives side by side. */
export function AlternativesTable({ estimate }: { estimate: Estimate }) {
  const { alternatives, chosen, terms } = estimate;
  const { currency } = terms;
  const foot = (label: string, of: (one: Alternative) => MoneyRange, isTotal = false) => (
    <tr className={isTotal ? 'total' : undefined}>
      <th scope="row">{label}</th>
      {alternatives.map((one, at) => (
        <td key={at}>
          <Figure cost={of(one)} currency={currency} />
        </td>
      ))}
    </tr>
  );
  return (
    <table className="estimate-table">
      <thead>
        <tr>
          <th scope="col">{say('What')}</th>
          {alternatives.map(({ name }, at) => (
            <th key={at} scope="col">
              {name}
              {at === chosen && alternatives.length > 1 ? (
                <small className="quiet-line">{say('reckoned with')}</small>
              ) : null}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {namesOf(alternatives).map((what) => (
          <tr key={what}>
            <th scope="row">{sayWord(what)}</th>
            {alternatives.map((one, at) => {
              const lines = linesNamed(one, what);
              return (
                <td key={at}>
                  {lines.length === 0 ? (
                    <span className="none">{say('without')}</span>
                  ) : (
                    lines.map((line, i) => (
                      <Figure key={i} cost={line.cost} currency={currency} about={line.about} />
                    ))
                  )}
                </td>
              );
            })}
          </tr>
        ))}
      </tbody>
      <tfoot>
        {foot(say('Together'), ({ net }) => net)}
        {foot(
          say('For what nobody foresees, {percent}', {
            percent: sayPercent(terms.contingencyRatio),
          }),
          ({ contingency }) => contingency,
        )}
        {foot(say('Estimated'), ({ total }) => total, true)}
        <tr>
          <th scope="row">{say('Hours')}</th>
          {alternatives.map(({ minutes }, at) => (
            <td key={at}>
              <b>{sayHours(minutes.likely)}</b>
              {minutes.low === minutes.high ? null : (
                <small className="quiet-line">{sayHourSpread(minutes)}</small>
              )}
            </td>
          ))}
        </tr>
      </tfoot>
    </table>
  );
}

export const sayHourSpread = ({ low, high }: { low: number; high: number }): string =>
  say('({low} to {high})', { low: sayHours(low), high: sayHours(high) });

/** A sum, its range in brackets, and what it is of. */
export function Figure({
  cost,
  currency,
  about,
}: {
  cost: MoneyRange;
  currency: string;
  about?: string;
}) {
  const spread = saySpread(cost, currency);
  return (
    <span className="figure">
      <b>{sayMoney(cost.likely, currency)}</b>
      {spread === null ? null : <small className="quiet-line">({spread})</small>}
      {about === undefined ? null : <small className="quiet-line">{about}</small>}
    </span>
  );
}
