import { Field } from '../platform/Field.js';
import { say } from '../platform/language/say.js';
import { NumberField } from '../platform/NumberField.js';
import { TextField } from '../platform/TextField.js';
import { type OpeningKind, openingKinds } from './plan-window.js';
import type { OpeningForm } from './window-form.js';

const kindWords: Readonly<Record<OpeningKind, string>> = {
  rectangular: say('rectangular'),
  'round-headed': say('round-headed'),
  pointed: say('pointed'),
  circular: say('circular'),
  polygon: say('free, by its corners'),
};

/** Shape and measures of one opening. */
export function OpeningFields({
  legend,
  value,
  onValue,
}: {
  legend: string;
  value: OpeningForm;
  onValue: (value: OpeningForm) => void;
}) {
  return (
    <fieldset className="field">
      <legend>{legend}</legend>
      <Field label={say('Shape')}>
        {(ids) => (
          <select
            {...ids}
            value={value.kind}
            onChange={(event) => {
              onValue({ ...value, kind: event.target.value as OpeningKind });
            }}
          >
            {openingKinds.map((kind) => (
              <option key={kind} value={kind}>
                {kindWords[kind]}
              </option>
            ))}
          </select>
        )}
      </Field>
      {value.kind === 'polygon' ? (
        <TextField
          label={say('Corners')}
          hint={say('from the left edge and the top, mm: 0 0, 800 0, 800 1200, 0 1200')}
          rows={3}
          value={value.ring}
          onValue={(typed) => {
            onValue({ ...value, ring: typed });
          }}
        />
      ) : (
        <div className="two">
          <NumberField
            label={value.kind === 'circular' ? say('Diameter') : say('Width')}
            value={value.width}
            onValue={(width) => {
              onValue({ ...value, width });
            }}
          />
          {value.kind === 'circular' ? null : (
            <NumberField
              label={say('Height')}
              value={value.height}
              onValue={(height) => {
                onValue({ ...value, height });
              }}
            />
          )}
          {value.kind === 'pointed' ? (
            <NumberField
              label={say('Springs at')}
              value={value.spring}
              onValue={(spring) => {
                onValue({ ...value, spring });
              }}
              hint={say('over the sill')}
            />
          ) : null}
        </div>
      )}
    </fieldset>
  );
}
