import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { NumberField } from '../platform/NumberField.js';
import { TextField } from '../platform/TextField.js';
import { OpeningFields } from './OpeningFields.js';
import { emptyOpening, type TraceryForm } from './window-form.js';

/** Openings over the lights: A1, A2… the lowest row first, from the left. */
export function TraceryFields({
  value,
  onValue,
}: {
  value: readonly TraceryForm[];
  onValue: (value: readonly TraceryForm[]) => void;
}) {
  const change = (index: number, part: Partial<TraceryForm>) => {
    onValue(value.map((item, at) => (at === index ? { ...item, ...part } : item)));
  };
  return (
    <fieldset className="stack">
      <legend>{say('Tracery openings')}</legend>
      {value.map((item, index) => (
        // An opening has no identity but its place in the list while it is typed.
        <div key={say('tracery {index}', { index: index + 1 })} className="stack tracery">
          <div className="two">
            <TextField
              label={say('Mark')}
              value={item.mark}
              onValue={(value) => {
                change(index, { mark: value });
              }}
            />
            <NumberField
              label={say('Middle from the left')}
              value={item.x}
              onValue={(x) => {
                change(index, { x });
              }}
            />
            <NumberField
              label={say('Middle over the sill')}
              value={item.height}
              onValue={(height) => {
                change(index, { height });
              }}
            />
          </div>
          <OpeningFields
            legend={say('Shape of {mark}', { mark: item.mark })}
            value={item.opening}
            onValue={(opening) => {
              change(index, { opening });
            }}
          />
          <p className="row">
            <button
              type="button"
              className="word"
              onClick={() => {
                onValue(value.filter((_, at) => at !== index));
              }}
            >
              {rich('take {mark} out', { mark: item.mark })}
            </button>
          </p>
        </div>
      ))}
      <p className="row">
        <button
          type="button"
          className="quiet"
          onClick={() => {
            onValue([
              ...value,
              {
                mark: nextMark(value.map((item) => item.mark)),
                opening: { ...emptyOpening, kind: 'circular' },
                x: '',
                height: '',
              },
            ]);
          }}
        >
          {say('Add a tracery opening')}
        </button>
      </p>
    </fieldset>
  );
}

function nextMark(marks: readonly string[]): string {
  const last = /^([A-Z])(\d+)$/.exec(marks.at(-1) ?? 'A0');
  return last ? `${last[1]!}${Number(last[2]) + 1}` : 'A1';
}
