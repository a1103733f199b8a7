import type { Quantities } from '../platform/api/estimates.js';
import { atStage, bodyOf, draftOf, emptyLine, quantityOf } from './draft.js';

const words = (operation: string) => operation.replaceAll('.', ' ');

const told: Quantities = {
  drawn: {
    panels: 2,
    areaM2: 1,
    pieces: 90,
    joints: 150,
    leadMetres: 20,
    leadByWidth: [],
    glassM2: 0.9,
    leadKg: 8,
    glassKg: 7,
  },
  undrawn: {
    panels: 1,
    areaM2: 0.5,
    expected: {
      pieces: { low: 30, likely: 45, high: 60 },
      joints: { low: 60, likely: 75, high: 90 },
      leadMetres: { low: 8, likely: 10, high: 12 },
    },
  },
  densities: {
    pieces: { low: 60, likely: 90, high: 120 },
    joints: { low: 120, likely: 150, high: 180 },
    leadMetres: { low: 16, likely: 20, high: 24 },
  },
  densitiesFrom: 2,
  minutes: [
    {
      operation: 'clean.dry',
      minutesPerMark: { low: 4, likely: 5, high: 9 },
      from: 7,
      campaigns: 2,
    },
  ],
};

// by hand: 1.5 m² × 60, 90, 120 pieces a square metre
it('the first estimate counts by area, with its range', () => {
  expect(quantityOf('piece', 'first', told)).toEqual({ low: 90, likely: 135, high: 180 });
});

// by hand: 90 drawn, and 30, 45, 60 expected where nothing is drawn
it('the second counts what is drawn, and only the rest by its area', () => {
  expect(quantityOf('piece', 'second', told)).toEqual({ low: 120, likely: 135, high: 150 });
  const all = { ...told, undrawn: { panels: 0, areaM2: 0, expected: null } };
  expect(quantityOf('m lead', 'second', all)).toEqual({ low: 20, likely: 20, high: 20 });
});

it('what nobody can count is left to be typed', () => {
  expect(quantityOf('kg', 'first', told)).toBeNull();
  expect(quantityOf('piece', 'first', { ...told, densities: null })).toBeNull();
});

it('starts from what the studio’s own work took', () => {
  const draft = draftOf(undefined, 'first', 'the lights', told, words);
  expect(draft.alternatives[0]!.lines[0]).toMatchObject({
    what: 'clean dry',
    quantity: { likely: '135', low: '90', high: '180' },
    minutes: { likely: '5', low: '4', high: '9' },
  });
  const second = atStage(draft, 'second', told);
  expect(second.alternatives[0]!.lines[0]!.quantity).toEqual({
    likely: '135',
    low: '120',
    high: '150',
  });
});

it('reads commas, and keeps money a decimal text', () => {
  const draft = {
    ...draftOf(undefined, 'first', 'the lights', told, words),
    perHour: '62,50',
    contingencyPercent: '7,5',
    alternatives: [
      {
        key: 1,
        name: 'in place',
        lines: [
          {
            ...emptyLine(),
            what: 'bond',
            quantity: { likely: '3', low: '', high: '' },
            minutes: { likely: '20', low: '15', high: '30' },
            price: '0,335',
          },
        ],
      },
    ],
  };
  expect(bodyOf(draft)).toEqual({
    title: 'the lights',
    stage: 'first',
    chosen: 0,
    terms: { currency: 'EUR', perHour: '62.50', contingencyRatio: '0.075' },
    alternatives: [
      {
        name: 'in place',
        lines: [
          {
            what: 'bond',
            unit: 'piece',
            quantity: { low: 3, likely: 3, high: 3 },
            minutesPerUnit: { low: 15, likely: 20, high: 30 },
            pricePerUnit: '0.335',
          },
        ],
      },
    ],
  });
  expect(() => bodyOf({ ...draft, perHour: 'sixty' })).toThrow('“sixty” is no number.');
});
