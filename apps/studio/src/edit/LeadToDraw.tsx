import type { LeadKind } from '#libs/net';
import { Field } from '../platform/Field.js';
import { say } from '../platform/language/say.js';
import { NumberField } from '../platform/NumberField.js';
import { kindWords } from './ChosenPaper.js';
import { handPaperId } from './hand.js';

export interface LeadPlan {
  readonly kind: LeadKind;
  /** as typed */
  readonly width: string;
}

const drawn: readonly LeadKind[] = ['came', 'mending', 'strap', 'outer', 'foil', 'broken'];

/** What the lead that is drawn next will be. */
export function LeadToDraw({
  plan,
  onPlan,
  onBoard,
}: {
  plan: LeadPlan;
  onPlan: (plan: LeadPlan) => void;
  /** Escape goes back to the board */
  onBoard: () => void;
}) {
  return (
    <article
      className="paper stack"
      aria-label={say('The lead to draw')}
      id={handPaperId}
      onKeyDown={(event) => {
        if (event.key === 'Escape') onBoard();
      }}
    >
      <div>
        <h2>{say('Draw a lead')}</h2>
        <p className="sub">
          {say(
            'Tap where it begins: on a lead, on a joint. Tap along its bend, and last the lead where it ends; in the glass it ends by a second tap. It is cut where it crosses others.',
          )}
        </p>
      </div>
      <Field label={say('It is')}>
        {(ids) => (
          <select
            {...ids}
            value={plan.kind}
            onChange={(event) => {
              onPlan({ ...plan, kind: event.target.value as LeadKind });
            }}
          >
            {drawn.map((kind) => (
              <option key={kind} value={kind}>
                {kindWords[kind]}
              </option>
            ))}
          </select>
        )}
      </Field>
      <NumberField
        label={say('Face width, mm')}
        value={plan.width}
        onValue={(width) => {
          onPlan({ ...plan, width });
        }}
      />
    </article>
  );
}
