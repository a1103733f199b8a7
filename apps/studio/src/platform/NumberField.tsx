import { Field } from './Field.js';

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
  hint?: string;
  invalid?: boolean;
}) {
  return (
    <Field label={label} {...(hint ? { hint } : {})}>
      {(ids) => (
        <input
          {...ids}
          inputMode="decimal"
          autoComplete="off"
          value={value}
          aria-invalid={invalid ?? undefined}
          onChange={(event) => {
            onValue(event.target.value);
          }}
        />
      )}
    </Field>
  );
}

/** What a person typed as a number; undefined when it is none. */
export function readNumber(text: string): number | undefined {
  const trimmed = text
    .trim()
    .replace(',', '.')
    .replace(/\s|mm$/g, '');
  if (trimmed === '') return undefined;
  const value = Number(trimmed);
  return Number.isFinite(value) ? value : undefined;
}
