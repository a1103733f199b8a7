import type { InputHTMLAttributes } from 'react';
import { Field } from './Field.js';

type Native = Pick<
  InputHTMLAttributes<HTMLInputElement>,
  | 'aria-invalid'
  | 'autoCapitalize'
  | 'autoComplete'
  | 'autoCorrect'
  | 'inputMode'
  | 'max'
  | 'maxLength'
  | 'min'
  | 'minLength'
  | 'pattern'
  | 'placeholder'
  | 'required'
  | 'spellCheck'
  | 'type'
>;

/** Words in one line, or in several where `rows` says how many are seen at once. */
export function TextField({
  label,
  hint,
  value,
  onValue,
  rows,
  ...native
}: Native & {
  label: string;
  hint?: string | undefined;
  value: string;
  onValue: (value: string) => void;
  rows?: number;
}) {
  const onChange = ({ target }: { target: { value: string } }) => {
    onValue(target.value);
  };
  return (
    <Field label={label} hint={hint}>
      {(ids) =>
        rows === undefined ? (
          <input {...ids} {...native} value={value} onChange={onChange} />
        ) : (
          <textarea {...ids} {...native} rows={rows} value={value} onChange={onChange} />
        )
      }
    </Field>
  );
}
