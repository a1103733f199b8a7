import { Field } from './Field.js';
import { say, sayWord } from './language/say.js';

/** One word out of many; '' while none is chosen. */
export function WordSelect({
  label,
  hint,
  words,
  value,
  onValue,
}: {
  label: string;
  hint?: string;
  words: readonly { readonly key: string; readonly label: string }[];
  value: string;
  onValue: (key: string) => void;
}) {
  return (
    <Field label={label} hint={hint}>
      {(ids) => (
        <select
          {...ids}
          value={value}
          onChange={({ target }) => {
            onValue(target.value);
          }}
        >
          <option value="">{say('choose…')}</option>
          {words.map((word) => (
            <option key={word.key} value={word.key}>
              {sayWord(word.label)}
            </option>
          ))}
        </select>
      )}
    </Field>
  );
}
