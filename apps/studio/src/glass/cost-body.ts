/** What was typed over the cost of a cut list, as the body of an estimate. */
import { ratioOfPercent } from '#libs/estimate';
import type { EstimateBody } from '../platform/api/estimates.js';
import type { CostLine, CutCost } from '../platform/api/glass.js';
import { say } from '../platform/language/say.js';
import { numberGiven } from '../platform/NumberField.js';

export interface CostTyped {
  readonly currency: string;
  readonly perHour: string;
  readonly contingencyPercent: string;
  /** by the line's words: minutes of one unit, price of one unit */
  readonly minutes: Readonly<Record<string, string>>;
  readonly prices: Readonly<Record<string, string>>;
}

/** @throws Error with a sentence where what was typed is no number */
export function costBody(cost: CutCost, typed: CostTyped, title: string): EstimateBody {
  const alternative = (name: string, lines: readonly CostLine[]) => ({
    name,
    lines: lines.map((line) => lineOf(line, typed)),
  });
  return {
    title,
    stage: 'second',
    terms: {
      currency: typed.currency,
      perHour: decimal(typed.perHour),
      contingencyRatio: ratioOfPercent(decimal(typed.contingencyPercent)),
    },
    alternatives: [
      alternative(say('whole sheets bought'), cost.bySheet),
      alternative(say('glass by its area'), cost.byArea),
    ],
    chosen: 0,
  };
}

function lineOf(line: CostLine, { minutes, prices }: CostTyped) {
  const exactly = (value: number) => ({ low: value, likely: value, high: value });
  const price = prices[line.what] ?? '';
  return {
    what: line.what,
    unit: line.unit,
    quantity: exactly(Number(line.quantity)),
    minutesPerUnit: exactly(numberGiven(minutes[line.what] ?? '') ?? 0),
    pricePerUnit: price.trim() === '' ? (line.pricePerUnit ?? '0') : decimal(price),
  };
}

function decimal(text: string): string {
  const trimmed = text.trim().replace(',', '.');
  return trimmed === '' ? '0' : trimmed;
}
