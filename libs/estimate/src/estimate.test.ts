import { Decimal } from 'decimal.js';
import { minorDigits, roundMoney } from './currency.js';
import { estimated, quantitiesFromArea, variation } from './estimate.js';
import { exactly, learned } from './range.js';

// Java SE 17 API documentation, java.math.RoundingMode, table "Result of rounding input to one digit",
// column HALF_UP: whole numbers, as those of a currency without a minor unit.
it.each([
  ['5.5', '6'],
  ['2.5', '3'],
  ['1.6', '2'],
  ['1.1', '1'],
  ['1.0', '1'],
  ['-1.0', '-1'],
  ['-1.1', '-1'],
  ['-1.6', '-2'],
  ['-2.5', '-3'],
  ['-5.5', '-6'],
])('rounds %s to %s', (amount, rounded) => {
  expect(roundMoney(amount, 'JPY')).toBe(rounded);
});

it('rounds the decimal that was written, not the nearest binary number', () => {
  // 1.005 in binary is 1.00499999999999989… (IEEE 754), which toFixed(2) rounds down
  expect((1.005).toFixed(2)).toBe('1.00');
  expect(roundMoney('1.005', 'EUR')).toBe('1.01');
  expect(roundMoney('0.0005', 'KWD')).toBe('0.001');
});

// The platform's table of currencies (Unicode CLDR) as the second source.
it.each([
  'EUR',
  'GBP',
  'CHF',
  'USD',
  'JPY',
  'KRW',
  'CLP',
  'ISK',
  'XOF',
  'BHD',
  'KWD',
  'TND',
  'OMR',
])('knows the minor unit of %s', (currency) => {
  const { maximumFractionDigits } = new Intl.NumberFormat('en', {
    style: 'currency',
    currency,
  }).resolvedOptions();
  expect(minorDigits(currency)).toBe(maximumFractionDigits);
});

it('refuses what is no currency', () => {
  expect(() => minorDigits('euro')).toThrow(/ISO 4217/);
});

it('learns the median and the range of four in five', () => {
  // R: quantile(c(1,2,3,4,5,6,7,8,9,10), c(.1,.5,.9)) gives 1.9, 5.5, 9.1; type 7 is R's default (R manual, ?quantile)
  expect(learned([10, 9, 8, 7, 6, 5, 4, 3, 2, 1])).toEqual({ low: 1.9, likely: 5.5, high: 9.1 });
  expect(learned([4])).toEqual(exactly(4));
  expect(() => learned([])).toThrow(/no earlier work/);
});

const TERMS = { currency: 'EUR', perHour: '60', contingencyRatio: '0.1' };
const line = (what: string, quantity: number, minutes: number, pricePerUnit: string) => ({
  what,
  unit: 'piece',
  quantity: exactly(quantity),
  minutesPerUnit: exactly(minutes),
  pricePerUnit,
});

it('adds up as it is printed: lines, contingency, total', () => {
  // by hand: 3 × (20 min at 60 an hour + 0.335) = 61.005 → 61.01; 2 × 10 min = 20; tenth of 81.01 = 8.101 → 8.10
  const told = estimated(
    { name: 'in place', lines: [line('bond', 3, 20, '0.335'), line('clean', 2, 10, '0')] },
    TERMS,
  );
  expect(told.lines.map(({ cost }) => cost.likely)).toEqual(['61.01', '20.00']);
  expect([told.net.likely, told.contingency.likely, told.total.likely]).toEqual([
    '81.01',
    '8.10',
    '89.11',
  ]);
  expect(told.minutes).toEqual(exactly(80));
});

it('the printed parts add up to the printed total at both ends, whatever the figures', () => {
  for (let seed = 1; seed < 200; seed++) {
    const some = (at: number) => ((seed * 7919 + at * 104_729) % 1000) / 7;
    const spread = (at: number) => ({
      low: some(at),
      likely: some(at) * 1.1,
      high: some(at) * 1.37,
    });
    const told = estimated(
      {
        name: 'any',
        lines: [1, 2, 3].map((at) => ({
          what: `${at}`,
          unit: 'm',
          quantity: spread(at),
          minutesPerUnit: spread(at + 3),
          pricePerUnit: some(at + 6).toFixed(3),
        })),
      },
      TERMS,
    );
    for (const end of ['low', 'likely', 'high'] as const) {
      const lines = told.lines.reduce((sum, { cost }) => sum.plus(cost[end]), new Decimal(0));
      expect(lines.toFixed(2)).toBe(told.net[end]);
      expect(new Decimal(told.net[end]).plus(told.contingency[end]).toFixed(2)).toBe(
        told.total[end],
      );
    }
  }
});

it('tells what changed between the first estimate and the second', () => {
  const first = estimated({ name: 'first', lines: [line('bond', 3, 20, '0')] }, TERMS);
  const second = estimated(
    { name: 'second', lines: [line('bond', 5, 20, '0'), line('plate', 1, 30, '12.40')] },
    TERMS,
  );
  // by hand: 5 − 3 pieces of 20 at 1 a minute = 40; a plate of 30 + 12.40; total 1.1 × 82.40 = 90.64
  expect(variation(first, second, 'EUR')).toEqual({
    lines: [
      { what: 'bond', minutes: 40, cost: '40.00' },
      { what: 'plate', minutes: 30, cost: '42.40' },
    ],
    minutes: 70,
    total: '90.64',
  });
});

it('a range out of order is refused, with what it was for', () => {
  const wrong = { ...line('bond', 1, 1, '0'), quantity: { low: 2, likely: 1, high: 3 } };
  expect(() => estimated({ name: 'x', lines: [wrong] }, TERMS)).toThrow(/^bond: /);
});

it('takes what is not drawn yet from its area', () => {
  expect(quantitiesFromArea(2_500_000, { pieces: { low: 80, likely: 100, high: 140 } })).toEqual({
    pieces: { low: 200, likely: 250, high: 350 },
  });
});
