import { sayWord } from './language/say.js';

/** One word out of a few, as a row of buttons that a thumb can hit. */
export function OneOf<T extends string>({
  legend,
  options,
  value,
  onValue,
  words,
}: {
  legend: string;
  options: readonly T[];
  value: T | null;
  onValue: (value: T) => void;
  words?: (value: T) => string;
}) {
  return (
    <fieldset className="field">
      <legend>{legend}</legend>
      <div className="row" role="radiogroup" aria-label={legend}>
        {options.map((option, index) => (
          <button
            key={option}
            type="button"
            role="radio"
            className="quiet"
            aria-checked={option === value}
            tabIndex={option === value || (value === null && index === 0) ? 0 : -1}
            onClick={() => {
              onValue(option);
            }}
            onKeyDown={(event) => {
              const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
              if (step === undefined) return;
              event.preventDefault();
              const next = (index + step + options.length) % options.length;
              onValue(options[next]!);
              const siblings = event.currentTarget.parentElement?.children;
              (siblings?.[next] as HTMLElement | undefined)?.focus();
            }}
          >
            {words ? words(option) : sayWord(option)}
          </button>
        ))}
      </div>
    </fieldset>
  );
}
