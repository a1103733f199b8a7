import { say } from '../platform/language/say.js';
import { NumberField } from '../platform/NumberField.js';
import type { RangeText } from './draft.js';

/** A figure and, where it is not known exactly, what it is at least and at most. */
export function RangeFields({
  label,
  value,
  onValue,
}: {
  label: string;
  value: RangeText;
  onValue: (value: RangeText) => void;
}) {
  const field = (name: string, member: keyof RangeText) => (
    <NumberField
      label={name}
      value={value[member]}
      onValue={(typed) => {
        onValue({ ...value, [member]: typed });
      }}
    />
  );
  return (
    <fieldset className="field estimate-range">
      <legend className="unseen">{label}</legend>
      <div>
        {field(label, 'likely')}
        {field(say('at least'), 'low')}
        {field(say('at most'), 'high')}
      </div>
    </fieldset>
  );
}
