/**
 * What a campaign will take: quantities × the studio's own minutes and prices, with their range and a
 * contingency that is stated. It is no accounting system: no taxes, no invoices, no payments.
 */
import { Decimal } from 'decimal.js';
import { minorDigits, roundMoney } from './currency.js';
import { EstimateError } from './estimate-error.js';
import { added, exactly, type Range, scaled, times } from './range.js';

/** One thing that is done or used. */
export interface EstimateLine {
  readonly what: string;
  /** piece, m, joint, m², kg, … */
  readonly unit: string;
  readonly quantity: Range;
  /** work on one unit, min */
  readonly minutesPerUnit: Range;
  /** decimal text; material for one unit */
  readonly pricePerUnit: string;
}

export interface Alternative {
  readonly name: string;
  readonly lines: readonly EstimateLine[];
}

export interface EstimateTerms {
  /** ISO 4217 */
  readonly currency: string;
  /** decimal text: an hour of work */
  readonly perHour: string;
  /** decimal text: `0.1` adds a tenth */
  readonly contingencyRatio: string;
}

/** Decimal texts in the currency's minor unit. */
export interface MoneyRange {
  readonly low: string;
  readonly likely: string;
  readonly high: string;
}

export interface Estimated {
  readonly name: string;
  readonly lines: readonly {
    readonly what: string;
    readonly minutes: Range;
    readonly cost: MoneyRange;
  }[];
  readonly minutes: Range;
  /** sum of the lines as they are printed */
  readonly net: MoneyRange;
  readonly contingency: MoneyRange;
  readonly total: MoneyRange;
}

const ENDS = ['low', 'likely', 'high'] as const;

/**
 * Each line is rounded to the minor unit and the sum adds the rounded lines, so that the paper adds up.
 *
 * @throws {EstimateError} `range` for a range that is out of order or below 0, `currency`
 */
export function estimated({ name, lines }: Alternative, terms: EstimateTerms): Estimated {
  minorDigits(terms.currency);
  const told = lines.map((line) => {
    checkRange(line.quantity, line.what);
    checkRange(line.minutesPerUnit, line.what);
    const minutes = times(line.quantity, line.minutesPerUnit);
    return { what: line.what, minutes, cost: costOf(line, minutes, terms) };
  });
  const net = sumOf(
    told.map(({ cost }) => cost),
    terms.currency,
  );
  const contingency = moneyRange(
    (end) => new Decimal(net[end]).times(terms.contingencyRatio),
    terms.currency,
  );
  return {
    name,
    lines: told,
    minutes: told.reduce((sum, { minutes }) => added(sum, minutes), exactly(0)),
    net,
    contingency,
    total: sumOf([net, contingency], terms.currency),
  };
}

/** Difference of the second estimate from the first, for each line by its name and for the total. */
export interface Variation {
  readonly lines: readonly {
    readonly what: string;
    readonly minutes: number;
    readonly cost: string;
  }[];
  readonly minutes: number;
  readonly total: string;
}

/** What goes to the client when the drawings are there: likely values of the second less the first. */
export function variation(first: Estimated, second: Estimated, currency: string): Variation {
  const names = [...new Set([...first.lines, ...second.lines].map(({ what }) => what))];
  const less = (a: string, b: string) => roundMoney(new Decimal(a).minus(b), currency);
  return {
    lines: names.map((what) => {
      const before = first.lines.find((line) => line.what === what);
      const after = second.lines.find((line) => line.what === what);
      return {
        what,
        minutes: (after?.minutes.likely ?? 0) - (before?.minutes.likely ?? 0),
        cost: less(after?.cost.likely ?? '0', before?.cost.likely ?? '0'),
      };
    }),
    minutes: second.minutes.likely - first.minutes.likely,
    total: less(second.total.likely, first.total.likely),
  };
}

/** Quantities of what is not drawn yet: its area × how much of each stood on a square metre elsewhere. */
export function quantitiesFromArea(
  areaMm2: number,
  perM2: Readonly<Record<string, Range>>,
): Record<string, Range> {
  return Object.fromEntries(
    Object.entries(perM2).map(([what, density]) => [what, scaled(density, areaMm2 / 1e6)]),
  );
}

function costOf(line: EstimateLine, minutes: Range, terms: EstimateTerms): MoneyRange {
  return moneyRange(
    (end) =>
      new Decimal(minutes[end])
        .div(60)
        .times(terms.perHour)
        .plus(new Decimal(line.quantity[end]).times(line.pricePerUnit)),
    terms.currency,
  );
}

function moneyRange(of: (end: keyof Range) => Decimal, currency: string): MoneyRange {
  const [low, likely, high] = ENDS.map((end) => roundMoney(of(end), currency));
  return { low: low!, likely: likely!, high: high! };
}

function sumOf(parts: readonly MoneyRange[], currency: string): MoneyRange {
  return moneyRange(
    (end) => parts.reduce((sum, part) => sum.plus(part[end]), new Decimal(0)),
    currency,
  );
}

function checkRange({ low, likely, high }: Range, what: string): void {
  if (low >= 0 && low <= likely && likely <= high) return;
  throw new EstimateError(
    'range',
    `${what}: ${low} to ${high}, likely ${likely}, is no range from 0 up`,
  );
}
