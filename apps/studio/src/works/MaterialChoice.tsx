import type { Material } from '../platform/api/works.js';
import { Field } from '../platform/Field.js';
import { say } from '../platform/language/say.js';
import { TextField } from '../platform/TextField.js';

export interface MaterialSaid {
  /** id of a batch of the register, '' for none, 'other' for one that is written */
  readonly from: string;
  readonly name: string;
  readonly batch: string;
  readonly quantity: string;
  readonly concentration: string;
}
export const noMaterial: MaterialSaid = {
  from: '',
  name: '',
  batch: '',
  quantity: '',
  concentration: '',
};

/** As a body takes it: a decimal with a point, and nothing that was not said. */
export function materialSaid({ from, name, batch, quantity, concentration }: MaterialSaid) {
  if (from === '') return [];
  const given = {
    ...(quantity === '' ? {} : { quantity: quantity.trim().replace(',', '.') }),
    ...(concentration === '' ? {} : { concentration }),
  };
  return from === 'other'
    ? [{ name, ...(batch === '' ? {} : { batch }), ...given }]
    : [{ materialId: from, ...given }];
}

/** From the register, so that stock and batch come along; or written. */
export function MaterialChoice({
  register,
  value,
  onValue,
}: {
  register: readonly Material[];
  value: MaterialSaid;
  onValue: (value: MaterialSaid) => void;
}) {
  const batch = register.find((one) => one.materialId === value.from);
  const text = (
    label: string,
    member: 'name' | 'batch' | 'quantity' | 'concentration',
    hint?: string,
  ) => (
    <TextField
      label={label}
      hint={hint}
      inputMode={member === 'quantity' ? 'decimal' : 'text'}
      required={member === 'name'}
      value={value[member]}
      onValue={(typed) => {
        onValue({ ...value, [member]: typed });
      }}
    />
  );
  return (
    <>
      <Field
        label={say('With')}
        {...(batch
          ? {
              hint: say('{left} {unit} left{expires}', {
                left: batch.left,
                unit: batch.unit,
                expires:
                  batch.expires === null
                    ? ''
                    : say(', good until {expires}', { expires: batch.expires }),
              }),
            }
          : {})}
      >
        {(ids) => (
          <select
            {...ids}
            value={value.from}
            onChange={(event) => {
              onValue({ ...value, from: event.target.value });
            }}
          >
            <option value="">{say('no material')}</option>
            {register.map((one) => (
              <option key={one.materialId} value={one.materialId}>
                {one.name}
                {one.batch === null ? '' : say(', batch {batch}', { batch: one.batch })}
              </option>
            ))}
            <option value="other">{say('another, not in the register')}</option>
          </select>
        )}
      </Field>
      {value.from === 'other' ? (
        <div className="two">
          {text(say('Material'), 'name')}
          {text(say('Batch'), 'batch')}
        </div>
      ) : null}
      {value.from === '' ? null : (
        <div className="two">
          {text(
            batch ? say('How much, {unit}', { unit: batch.unit }) : say('How much'),
            'quantity',
          )}
          {text(say('Mixed'), 'concentration', say('10 % in acetone, 100:40…'))}
        </div>
      )}
    </>
  );
}
