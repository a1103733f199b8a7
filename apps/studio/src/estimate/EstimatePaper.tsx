import type { ReactNode } from 'react';
import { sayTime } from '../ledger/say-head.js';
import { type Estimate, estimateFile } from '../platform/api/estimates.js';
import { say } from '../platform/language/say.js';
import { AlternativesStack } from './AlternativesStack.js';
import { AlternativesTable } from './AlternativesTable.js';
import { sayMoney, sayPercent } from './say-money.js';

export const stageWords = (stage: Estimate['stage']): string =>
  stage === 'first' ? say('first, from areas') : say('second, from the drawings');

/** One estimate as it was made: its alternatives, what an hour was, what it is not. */
export function EstimatePaper({
  estimate,
  number,
  act,
}: {
  estimate: Estimate;
  /** of this version */
  number: number;
  act: ReactNode;
}) {
  const { terms } = estimate;
  return (
    <section className="paper stack estimate-paper" aria-label={say('The estimate')}>
      <div>
        <h1>{estimate.title}</h1>
        <p className="sub">
          {say('version {number}: {stage}, {day}', {
            number,
            stage: stageWords(estimate.stage),
            day: sayTime(estimate.recordedAt),
          })}
        </p>
      </div>
      <AlternativesTable estimate={estimate} />
      <AlternativesStack estimate={estimate} />
      <p className="hint">
        {say(
          'An hour of work is {perHour}; {contingency} is added for what nobody foresees. In brackets stands the range in which four of five are expected. This is no accounting system: taxes, invoices and payments are not in it. Prices and hours never go into a dossier that is handed out.',
          {
            perHour: sayMoney(terms.perHour, terms.currency),
            contingency: sayPercent(terms.contingencyRatio),
          },
        )}
      </p>
      <div className="row">
        <a className="act quiet" href={estimateFile(estimate.estimateId)} target="_blank">
          {say('The estimate as PDF')}
        </a>
      </div>
      {act}
    </section>
  );
}
