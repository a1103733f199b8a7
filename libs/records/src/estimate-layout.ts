/** An estimate laid out for paper: alternatives side by side, ranges, contingency, and what it is not. */
import type { MoneyRange, Range } from '#libs/estimate';
import type { Block, RecordLayout } from './blocks.js';

export interface EstimatePaper {
  readonly siteMark: string;
  readonly siteName: string;
  readonly title: string;
  readonly stage: 'first' | 'second';
  readonly fingerprint: string;
  readonly terms: {
    readonly currency: string;
    readonly perHour: string;
    readonly contingencyRatio: string;
  };
  readonly chosen: number;
  readonly alternatives: readonly {
    readonly name: string;
    readonly lineCosts: readonly {
      readonly what: string;
      readonly minutes: { readonly likely: number };
      readonly cost: MoneyRange;
    }[];
    readonly minutes: Range;
    readonly net: MoneyRange;
    readonly contingency: MoneyRange;
    readonly total: MoneyRange;
  }[];
}

export function layOutEstimate(paper: EstimatePaper): RecordLayout {
  const { currency, perHour, contingencyRatio } = paper.terms;
  const told = ({ low, likely, high }: MoneyRange) =>
    low === high ? `${likely} ${currency}` : `${likely} ${currency} (${low} to ${high})`;
  const hours = (minutes: number) => (minutes / 60).toFixed(1);
  return {
    title: paper.stage === 'first' ? 'Estimate from areas' : 'Estimate from the drawings',
    mark: paper.siteMark,
    lead: `${paper.siteName} · ${paper.title}`,
    blocks: [
      ...paper.alternatives.map(
        (one, i): Block => ({
          kind: 'facts',
          heading: i === paper.chosen ? `${one.name} (reckoned with)` : one.name,
          facts: [
            ...one.lineCosts.map((line) => ({
              label: line.what,
              text: `${told(line.cost)}, ${hours(line.minutes.likely)} h`,
            })),
            { label: 'Together', text: told(one.net) },
            {
              label: `For what nobody foresees, × ${contingencyRatio}`,
              text: told(one.contingency),
            },
            { label: 'Estimated', text: told(one.total) },
            {
              label: 'Hours',
              text: `${hours(one.minutes.likely)} (${hours(one.minutes.low)} to ${hours(one.minutes.high)})`,
            },
          ],
        }),
      ),
      {
        kind: 'facts',
        heading: 'How it was reckoned',
        facts: [
          { label: 'An hour of work', text: `${perHour} ${currency}` },
          {
            label: 'Ranges',
            text: 'Likely value, and in brackets the range in which four of five are expected.',
          },
          {
            label: 'What it is not',
            text: 'This is no invoice, and the program that printed it is no accounting system: taxes and payments are not in it.',
          },
        ],
      },
    ],
    seal: [{ label: 'Key fingerprint', text: paper.fingerprint }],
  };
}
