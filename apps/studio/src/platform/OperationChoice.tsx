import { OPERATION_GROUPS } from '#libs/vocabulary';
import type { Operation } from './api/findings.js';
import { Cautions } from './Cautions.js';
import { Field } from './Field.js';
import { say, sayWord } from './language/say.js';

/** What was done, by groups; with it what the chosen operation is and what can hurt in doing it. */
export function OperationChoice({
  operations,
  value,
  onValue,
}: {
  operations: readonly Operation[];
  /** its key; '' for none yet */
  value: string;
  onValue: (operation: string) => void;
}) {
  const chosen = operations.find(({ operation }) => operation === value);
  return (
    <>
      <Field
        label={say('What was done')}
        hint={chosen && `${chosen.definition}; ${sayWord(chosen.reversibility)}`}
      >
        {(ids) => (
          <select
            {...ids}
            required
            value={value}
            onChange={(event) => {
              onValue(event.target.value);
            }}
          >
            <option value="">{say('choose…')}</option>
            {Object.entries(OPERATION_GROUPS).map(([group, label]) => (
              <optgroup key={group} label={sayWord(label)}>
                {operations
                  .filter((known) => known.group === group)
                  .map((known) => (
                    <option key={known.operation} value={known.operation}>
                      {known.label}
                    </option>
                  ))}
              </optgroup>
            ))}
          </select>
        )}
      </Field>
      {chosen && chosen.cautions.length > 0 ? (
        <Cautions keys={chosen.cautions.map(({ key }) => key)} />
      ) : null}
    </>
  );
}
