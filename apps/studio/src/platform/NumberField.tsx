import { say } from './language/say.js';
import { TextField } from './TextField.js';

/** A number with its unit in the label. The text is kept as typed; a comma is read as a point. */
export function NumberField({
  label,
  value,
  onValue,
  hint,
  invalid,
}: {
  label: string;
  value: string;
  onValue: (value: string) => void;
  hint?: string | undefined;
  invalid?: boolean;
}) {
  return (
    <TextField
      label={label}
      hint={hint}
      value={value}
      onValue={onValue}
      inputMode="decimal"
      autoComplete="off"
      aria-invalid={invalid}
    />
  );
}

/**
 * What a person typed as a number; undefined when it is none. A length may be typed in inches, with
 * `in` or `"` behind it and halves, quarters or sixteenths as fractions: 29 1/4" is 742.95.
 */
export function readNumber(text: string): number | undefined {
  const inches = /^(.*\d)\s*(?:in|″|")$/.exec(text.trim());
  if (inches) {
    const value = readInches(inches[1]!);
    return value === undefined ? undefined : Math.round(value * 25.4 * 1000) / 1000;
  }
  const trimmed = text
    .trim()
    .replace(',', '.')
    .replace(/\s|mm$/g, '');
  if (trimmed === '') return undefined;
  const value = Number(trimmed);
  return Number.isFinite(value) ? value : undefined;
}

/**
 * A number that may be left out: undefined when nothing was typed.
 * @throws Error with a sentence for the person when what was typed is no number
 */
export function numberGiven(text: string): number | undefined {
  if (text.trim() === '') return undefined;
  const value = readNumber(text);
  if (value === undefined) throw new Error(say('“{text}” is no number.', { text: text.trim() }));
  return value;
}

function readInches(text: string): number | undefined {
  const fraction = /^(?:(\d+)\s+)?(\d+)\/(\d+)$/.exec(text);
  const value = fraction
    ? Number(fraction[1] ?? 0) + Number(fraction[2]) / Number(fraction[3])
    : Number(text.replace(',', '.'));
  return Number.isFinite(value) ? value : undefined;
}
