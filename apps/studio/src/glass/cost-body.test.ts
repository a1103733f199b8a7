import { estimated } from '#libs/estimate';
import { costBody } from './cost-body.js';

const line = (over: object) => ({
  kind: 'glass' as const,
  what: 'ruby, sheets',
  unit: 'sheet',
  quantity: '2',
  pricePerUnit: '27.33',
  ...over,
});
const typed = {
  currency: 'EUR',
  perHour: '60',
  contingencyPercent: '10',
  minutes: { Assemble: '15' },
  prices: { 'came 5.0 mm': '2,40' },
};

it('takes the register’s price, or the one that was typed, and minutes of work', () => {
  const body = costBody(
    {
      bySheet: [
        line({}),
        line({ kind: 'lead', what: 'came 5.0 mm', unit: 'm', quantity: '3.5', pricePerUnit: null }),
        line({ kind: 'work', what: 'Assemble', unit: 'piece', quantity: '4', pricePerUnit: '0' }),
      ],
      byArea: [line({ what: 'ruby, by area', quantity: '0.5' })],
      currencies: ['EUR'],
    },
    typed,
    'cost',
  );
  const sums = estimated(
    {
      name: 'x',
      lines: body.alternatives[0]!.lines.map((one) => ({
        ...one,
        pricePerUnit: one.pricePerUnit!,
      })),
    },
    body.terms,
  );
  // 2 × 27.33 = 54.66; 3.5 × 2.40 = 8.40; 4 × 15 min at 60 an hour = 60.00; a tenth more
  expect(sums.lines.map(({ cost }) => cost.likely)).toEqual(['54.66', '8.40', '60.00']);
  expect(sums.total.likely).toBe('135.37');
});
