import { addDecimals, negated } from '#libs/estimate';
import { sayTime } from '../ledger/say-head.js';
import { type Estimate, estimateFile } from '../platform/api/estimates.js';
import { say } from '../platform/language/say.js';
import { setWords } from '../platform/navigate.js';
import { stageWords } from './EstimatePaper.js';
import { sayMoney } from './say-money.js';

/** Every estimate that was made of a campaign, newest first; none is ever changed. */
export function VersionsPaper({
  items,
  shown,
}: {
  items: readonly Estimate[];
  shown: Estimate | undefined;
}) {
  return (
    <section className="paper" aria-label={say('Versions')}>
      <h2>{say('Versions')}</h2>
      <p className="sub">
        {say('An estimate stays as it was made that day; another one is another version.')}
      </p>
      <ul className="lines estimate-versions">
        {items.map((one, at) => {
          const more = moreThan(one, items[at + 1]);
          return (
            <li key={one.estimateId}>
              <span>
                <button
                  type="button"
                  className="word"
                  aria-current={one === shown}
                  onClick={() => {
                    setWords({ estimate: one.estimateId });
                  }}
                >
                  {say('{number}: {title}', { number: items.length - at, title: one.title })}
                </button>
                <small className="quiet-line">
                  {stageWords(one.stage)}, {sayTime(one.recordedAt)}
                </small>
              </span>
              <span>
                {sayMoney(one.alternatives[one.chosen]!.total.likely, one.terms.currency)}
                {more === null ? null : (
                  <small className="quiet-line">{sayMoney(more, one.terms.currency, true)}</small>
                )}
                <small className="quiet-line">
                  <a className="word" href={estimateFile(one.estimateId)} target="_blank">
                    {say('PDF')}
                    <span className="unseen">
                      {say(' of version {number}', { number: items.length - at })}
                    </span>
                  </a>
                </small>
              </span>
            </li>
          );
        })}
      </ul>
    </section>
  );
}

/** Decimal text: total of one less that of the one before; null where they cannot be held together. */
function moreThan(one: Estimate, before: Estimate | undefined): string | null {
  if (before === undefined || before.terms.currency !== one.terms.currency) return null;
  const total = ({ alternatives, chosen }: Estimate) => alternatives[chosen]!.total.likely;
  return addDecimals(total(one), negated(total(before)));
}
