import type { SequenceStep } from '../platform/api/custody.js';
import { Field } from '../platform/Field.js';
import { say } from '../platform/language/say.js';

/** The panel whose turn it is, and a way to another one. */
export function PanelChoice({
  steps,
  chosen,
  onChosen,
}: {
  steps: readonly SequenceStep[];
  chosen: SequenceStep;
  onChosen: (mark: string) => void;
}) {
  return (
    <>
      <p className="turn" aria-live="polite">
        <b>{chosen.mark}</b>
        <span>
          {chosen.isTracery
            ? say('stands in stone of its own')
            : chosen.bearsOn.length > 0
              ? say('bears on {below}', { below: chosen.bearsOn.join(', ') })
              : say('bears on the sill')}
        </span>
      </p>
      <Field label={say('Another panel ({left} left)', { left: steps.length })}>
        {(ids) => (
          <select
            {...ids}
            value={chosen.mark}
            onChange={(event) => {
              onChosen(event.target.value);
            }}
          >
            {steps.map(({ mark }) => (
              <option key={mark}>{mark}</option>
            ))}
          </select>
        )}
      </Field>
    </>
  );
}
