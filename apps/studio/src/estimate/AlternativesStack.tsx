import type { Estimate } from '../platform/api/estimates.js';
import { say, sayWord } from '../platform/language/say.js';
import { sayHours } from '../works/say-hours.js';
import { Figure, sayHourSpread } from './AlternativesTable.js';
import { linesNamed, namesOf } from './lines-of.js';
import { sayMoney, sayPercent } from './say-money.js';

/** On the phone: one alternative under the other, the total of each in sight as long as its lines are. */
export function AlternativesStack({ estimate }: { estimate: Estimate }) {
  const { alternatives, chosen, terms } = estimate;
  const { currency } = terms;
  return (
    <div className="estimate-stack">
      {alternatives.map((one, at) => (
        <section key={at} aria-label={one.name}>
          <h2>
            {one.name}
            {at === chosen && alternatives.length > 1 ? (
              <small className="quiet-line">{say('reckoned with')}</small>
            ) : null}
          </h2>
          <dl>
            {namesOf([one]).map((what) => (
              <div key={what}>
                <dt>{sayWord(what)}</dt>
                <dd>
                  {linesNamed(one, what).map((line, i) => (
                    <Figure key={i} cost={line.cost} currency={currency} about={line.about} />
                  ))}
                </dd>
              </div>
            ))}
            <div>
              <dt>{say('Together')}</dt>
              <dd>
                <Figure cost={one.net} currency={currency} />
              </dd>
            </div>
            <div>
              <dt>
                {say('For what nobody foresees, {percent}', {
                  percent: sayPercent(terms.contingencyRatio),
                })}
              </dt>
              <dd>{sayMoney(one.contingency.likely, currency)}</dd>
            </div>
            <div>
              <dt>{say('Hours')}</dt>
              <dd>
                {sayHours(one.minutes.likely)}
                {one.minutes.low === one.minutes.high ? null : (
                  <small className="quiet-line">{sayHourSpread(one.minutes)}</small>
                )}
              </dd>
            </div>
          </dl>
          <p className="estimate-total">
            <span>{say('Estimated')}</span>
            <Figure cost={one.total} currency={currency} />
          </p>
        </section>
      ))}
    </div>
  );
}
