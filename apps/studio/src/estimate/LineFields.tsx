import { useId } from 'react';
import type { Quantities } from '../platform/api/estimates.js';
import type { Operation } from '../platform/api/findings.js';
import { Field } from '../platform/Field.js';
import { say, sayWord } from '../platform/language/say.js';
import { NumberField } from '../platform/NumberField.js';
import { type DraftLine, quantityOf, rangeText, type Stage, units } from './draft.js';
import { sayLearnedFrom } from './LearnedPaper.js';
import { RangeFields } from './RangeFields.js';

/** One line while it is written. What the archive can count or has learned comes by itself, and stays open. */
export function LineFields({
  line,
  stage,
  told,
  operations,
  currency,
  sum,
  onLine,
  onRemove,
}: {
  line: DraftLine;
  stage: Stage;
  told: Quantities;
  operations: readonly Operation[];
  currency: string;
  /** what the line comes to, in words */
  sum: string | null;
  onLine: (line: DraftLine) => void;
  onRemove: () => void;
}) {
  const listId = useId();
  const learnedFor = (what: string) => {
    const operation = operations.find(({ label }) => label === what)?.operation;
    return told.minutes.find((one) => one.operation === operation);
  };
  const learned = learnedFor(line.what);
  const name = line.what === '' ? say('a line without a name') : line.what;
  return (
    <fieldset className="estimate-line">
      <legend className="unseen">{name}</legend>
      <Field label={say('What is done or used')}>
        {(ids) => (
          <>
            <input
              {...ids}
              required
              list={listId}
              value={line.what}
              onChange={({ target: { value: what } }) => {
                const minutes = learnedFor(what)?.minutesPerMark;
                onLine({
                  ...line,
                  what,
                  ...(minutes === undefined ? {} : { minutes: rangeText(tenths(minutes)) }),
                });
              }}
            />
            <datalist id={listId}>
              {operations.map(({ operation, label }) => (
                <option key={operation} value={label} />
              ))}
            </datalist>
          </>
        )}
      </Field>
      <Field label={say('Counted by')}>
        {(ids) => (
          <select
            {...ids}
            value={line.unit}
            onChange={({ target: { value: unit } }) => {
              const quantity = quantityOf(unit, stage, told);
              onLine({
                ...line,
                unit,
                ...(quantity === null ? {} : { quantity: rangeText(quantity) }),
              });
            }}
          >
            {[...new Set<string>([...units, line.unit])].map((unit) => (
              <option key={unit} value={unit}>
                {sayWord(unit, 'counted by')}
              </option>
            ))}
          </select>
        )}
      </Field>
      <RangeFields
        label={say('How many')}
        value={line.quantity}
        onValue={(quantity) => {
          onLine({ ...line, quantity });
        }}
      />
      <RangeFields
        label={say('Minutes each')}
        value={line.minutes}
        onValue={(minutes) => {
          onLine({ ...line, minutes });
        }}
      />
      <NumberField
        label={say('Material each, {currency}', { currency })}
        value={line.price}
        onValue={(price) => {
          onLine({ ...line, price });
        }}
      />
      <p className="estimate-sum">
        <span>
          {sum}
          {learned === undefined ? null : (
            <small className="quiet-line">
              {say('learned {from}', { from: sayLearnedFrom(learned.from, learned.campaigns) })}
            </small>
          )}
        </span>
        <button type="button" className="word" onClick={onRemove}>
          {say('leave out')}
          <span className="unseen">: {name}</span>
        </button>
      </p>
    </fieldset>
  );
}

const tenths = ({ low, likely, high }: { low: number; likely: number; high: number }) => ({
  low: Number(low.toFixed(1)),
  likely: Number(likely.toFixed(1)),
  high: Number(high.toFixed(1)),
});
