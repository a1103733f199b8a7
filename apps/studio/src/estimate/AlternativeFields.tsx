import type { Estimated } from '#libs/estimate';
import type { Quantities } from '../platform/api/estimates.js';
import type { Operation } from '../platform/api/findings.js';
import { say } from '../platform/language/say.js';
import { TextField } from '../platform/TextField.js';
import { sayHours } from '../works/say-hours.js';
import { type DraftAlternative, emptyLine, quantityOf, rangeText, type Stage } from './draft.js';
import { LineFields } from './LineFields.js';
import { sayMoney, saySpread } from './say-money.js';

/** One way to do it, line by line. */
export function AlternativeFields({
  one,
  reckoned,
  stage,
  currency,
  told,
  operations,
  isChosen,
  isOnly,
  onChange,
  onChoose,
  onRemove,
}: {
  one: DraftAlternative;
  reckoned: Estimated | undefined;
  stage: Stage;
  currency: string;
  told: Quantities;
  operations: readonly Operation[];
  isChosen: boolean;
  isOnly: boolean;
  onChange: (one: DraftAlternative) => void;
  onChoose: () => void;
  onRemove: () => void;
}) {
  const name = one.name === '' ? say('without a name') : one.name;
  const sumOf = (at: number): string | null => {
    const line = reckoned?.lines[at];
    if (line === undefined) return null;
    return [
      sayMoney(line.cost.likely, currency),
      saySpread(line.cost, currency),
      sayHours(line.minutes.likely),
    ]
      .filter((part) => part !== null)
      .join(', ');
  };
  return (
    <section className="estimate-way" aria-label={say('Alternative: {name}', { name })}>
      <TextField
        label={say('A way to do it')}
        hint={say('in place; taken out to the studio; only what is urgent')}
        required
        value={one.name}
        onValue={(typed) => {
          onChange({ ...one, name: typed });
        }}
      />
      {one.lines.map((line, at) => (
        <LineFields
          key={line.key}
          line={line}
          stage={stage}
          told={told}
          operations={operations}
          currency={currency}
          sum={sumOf(at)}
          onLine={(next) => {
            onChange({ ...one, lines: one.lines.map((other, i) => (i === at ? next : other)) });
          }}
          onRemove={() => {
            const lines = one.lines.filter((_, i) => i !== at);
            onChange({ ...one, lines: lines.length > 0 ? lines : [emptyLine()] });
          }}
        />
      ))}
      <div className="row">
        <button
          type="button"
          className="quiet"
          onClick={() => {
            const quantity = rangeText(quantityOf('piece', stage, told));
            onChange({ ...one, lines: [...one.lines, { ...emptyLine(), quantity }] });
          }}
        >
          {say('Another line')}
        </button>
        {isOnly ? null : (
          <>
            <label className="tick">
              <input type="radio" name="estimate-chosen" checked={isChosen} onChange={onChoose} />
              {say('reckon with this one')}
            </label>
            <button type="button" className="word" onClick={onRemove}>
              {say('leave this way out')}
            </button>
          </>
        )}
      </div>
    </section>
  );
}
