import { type Estimated, variation } from '#libs/estimate';
import type { Estimate } from '../platform/api/estimates.js';
import { say } from '../platform/language/say.js';
import { sayPercent } from './say-money.js';
import { VariationPaper } from './VariationPaper.js';

/** What the shown version says otherwise than the one before it. */
export function ChangedPaper({
  before,
  shown,
  number,
}: {
  before: Estimate;
  shown: Estimate;
  /** of the shown version */
  number: number;
}) {
  const heading = say('What changed from version {before} to version {shown}', {
    before: number - 1,
    shown: number,
  });
  const { currency } = shown.terms;
  if (before.terms.currency !== currency)
    return (
      <section className="paper" aria-label={heading}>
        <h2>{heading}</h2>
        <p>
          {say(
            'They are in two currencies, {before} and {shown}, and cannot be told apart by sums.',
            {
              before: before.terms.currency,
              shown: currency,
            },
          )}
        </p>
      </section>
    );
  return (
    <VariationPaper
      heading={heading}
      about={changedTerms(before, shown)}
      variation={variation(chosenOf(before), chosenOf(shown), currency)}
      currency={currency}
    />
  );
}

function chosenOf({ alternatives, chosen }: Estimate): Estimated {
  const one = alternatives[chosen]!;
  return { ...one, lines: one.lineCosts };
}

/** The terms that every line hangs on, where they are others than before. */
function changedTerms(before: Estimate, shown: Estimate): string | null {
  const changed = [
    before.terms.perHour === shown.terms.perHour
      ? null
      : say('an hour of work {before}, then {shown} {currency}', {
          before: before.terms.perHour,
          shown: shown.terms.perHour,
          currency: shown.terms.currency,
        }),
    before.terms.contingencyRatio === shown.terms.contingencyRatio
      ? null
      : say('for what nobody foresees {before}, then {shown}', {
          before: sayPercent(before.terms.contingencyRatio),
          shown: sayPercent(shown.terms.contingencyRatio),
        }),
  ].filter((part) => part !== null);
  return changed.length === 0 ? null : `${changed.join('; ')}.`;
}
