/** An estimate while it is written: texts as typed, and the body that they mean. */
import { percentOfRatio, quantitiesFromArea, type Range, ratioOfPercent } from '#libs/estimate';
import type { Estimate, EstimateBody, Quantities } from '../platform/api/estimates.js';
import { say } from '../platform/language/say.js';
import { decimalMark } from '../platform/language/tongue.js';
import { numberGiven } from '../platform/NumberField.js';

/** What a line is counted by; of the first five the archive knows how many there are. */
export const units = ['piece', 'm lead', 'joint', 'm²', 'panel', 'kg', 'h', 'once'] as const;
export type Stage = EstimateBody['stage'];

/** A figure with its range as typed; without `low` and `high` it has none. */
export interface RangeText {
  readonly likely: string;
  readonly low: string;
  readonly high: string;
}

export interface DraftLine {
  readonly key: number;
  readonly what: string;
  readonly unit: string;
  readonly quantity: RangeText;
  readonly minutes: RangeText;
  readonly price: string;
}

export interface DraftAlternative {
  readonly key: number;
  readonly name: string;
  readonly lines: readonly DraftLine[];
}

export interface Draft {
  readonly title: string;
  readonly stage: Stage;
  readonly currency: string;
  readonly perHour: string;
  readonly contingencyPercent: string;
  readonly chosen: number;
  readonly alternatives: readonly DraftAlternative[];
}

export const noRange: RangeText = { likely: '', low: '', high: '' };

let keys = 0;
export const nextKey = (): number => ++keys;

export const emptyLine = (): DraftLine => ({
  key: nextKey(),
  what: '',
  unit: 'piece',
  quantity: noRange,
  minutes: noRange,
  price: '',
});

/**
 * How many of a unit a campaign has. First stage: the whole area × the densities; second: what is
 * drawn as it was counted, the rest by its area. Null where nobody can say.
 */
export function quantityOf(unit: string, stage: Stage, told: Quantities): Range | null {
  const { drawn, undrawn, densities } = told;
  const areaM2 = drawn.areaM2 + undrawn.areaM2;
  const exactly = (value: number): Range => ({ low: value, likely: value, high: value });
  if (unit === 'panel') return exactly(drawn.panels + undrawn.panels);
  if (unit === 'm²') return rounded(exactly(areaM2), 2);
  const what = ({ piece: 'pieces', joint: 'joints', 'm lead': 'leadMetres' } as const)[unit];
  if (what === undefined) return null;
  const digits = what === 'leadMetres' ? 1 : 0;
  if (stage === 'first') {
    if (densities === null) return null;
    return rounded(quantitiesFromArea(areaM2 * 1e6, densities)[what]!, digits);
  }
  if (undrawn.panels === 0) return rounded(exactly(drawn[what]), digits);
  const rest = undrawn.expected?.[what];
  if (rest === undefined) return null;
  const { low, likely, high } = rest;
  return rounded(
    { low: drawn[what] + low, likely: drawn[what] + likely, high: drawn[what] + high },
    digits,
  );
}

/**
 * Where an estimate starts: at the one before with the quantities of the day, else at work that was learned.
 * @param words what an operation is called
 */
export function draftOf(
  before: Estimate | undefined,
  stage: Stage,
  title: string,
  told: Quantities,
  words: (operation: string) => string,
): Draft {
  const common = {
    title,
    stage,
    currency: before?.terms.currency ?? 'EUR',
    perHour: shown(before?.terms.perHour ?? ''),
    contingencyPercent: shown(percentOfRatio(before?.terms.contingencyRatio ?? '0.1')),
    chosen: before?.chosen ?? 0,
  };
  if (before === undefined) {
    const lines = told.minutes.map(
      ({ operation, minutesPerMark }): DraftLine => ({
        ...emptyLine(),
        what: words(operation),
        quantity: rangeText(quantityOf('piece', stage, told)),
        minutes: rangeText(rounded(minutesPerMark, 1)),
      }),
    );
    const first = { ...emptyLine(), quantity: rangeText(quantityOf('piece', stage, told)) };
    const name = say('taken out to the studio');
    return {
      ...common,
      alternatives: [{ key: nextKey(), name, lines: lines.length > 0 ? lines : [first] }],
    };
  }
  return {
    ...common,
    alternatives: before.alternatives.map(({ name, lines }) => ({
      key: nextKey(),
      name,
      lines: lines.map((line) => ({
        key: nextKey(),
        what: line.what,
        unit: line.unit,
        quantity: rangeText(
          stage === before.stage
            ? line.quantity
            : (quantityOf(line.unit, stage, told) ?? line.quantity),
        ),
        minutes: rangeText(line.minutesPerUnit),
        price: line.pricePerUnit === '0' ? '' : shown(line.pricePerUnit),
      })),
    })),
  };
}

/** Another stage counts anew what the archive can count. */
export const atStage = (draft: Draft, stage: Stage, told: Quantities): Draft => ({
  ...draft,
  stage,
  alternatives: draft.alternatives.map((one) => ({
    ...one,
    lines: one.lines.map((line) => {
      const quantity = quantityOf(line.unit, stage, told);
      return quantity === null ? line : { ...line, quantity: rangeText(quantity) };
    }),
  })),
});

/** @throws Error with a sentence for the person for what is no number */
export function bodyOf(draft: Draft): EstimateBody {
  return {
    title: draft.title,
    stage: draft.stage,
    chosen: Math.min(draft.chosen, draft.alternatives.length - 1),
    terms: {
      currency: draft.currency.trim().toUpperCase(),
      perHour: decimalOf(draft.perHour),
      contingencyRatio: ratioOfPercent(decimalOf(draft.contingencyPercent)),
    },
    alternatives: draft.alternatives.map(({ name, lines }) => ({
      name,
      lines: lines.map((line) => ({
        what: line.what,
        unit: line.unit,
        quantity: rangeOf(line.quantity),
        minutesPerUnit: rangeOf(line.minutes),
        pricePerUnit: decimalOf(line.price),
      })),
    })),
  };
}

export const rangeText = (range: Range | null): RangeText => {
  if (range === null) return noRange;
  const likely = shown(String(range.likely));
  if (range.low === range.high) return { likely, low: '', high: '' };
  return { likely, low: shown(String(range.low)), high: shown(String(range.high)) };
};

function rangeOf({ likely, low, high }: RangeText): Range {
  const value = numberGiven(likely) ?? 0;
  return { low: numberGiven(low) ?? value, likely: value, high: numberGiven(high) ?? value };
}

/** '1 234,5' as the body takes it: '1234.5'. Never by way of a floating number. */
function decimalOf(text: string): string {
  const plain = text.replaceAll(/[\s\u202f]/g, '').replace(',', '.');
  if (plain === '') return '0';
  if (!/^\d{1,9}(\.\d{1,6})?$/.test(plain))
    throw new Error(say('“{text}” is no number.', { text: text.trim() }));
  return plain;
}

const shown = (decimal: string): string => decimal.replace('.', decimalMark());

function rounded({ low, likely, high }: Range, digits: number): Range {
  const at = (value: number) => Number(value.toFixed(digits));
  return { low: at(low), likely: at(likely), high: at(high) };
}
