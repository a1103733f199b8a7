import type { ReactNode, SubmitEvent } from 'react';
import type { SequenceStep } from '../platform/api/custody.js';
import { Cautions } from '../platform/Cautions.js';
import { Refusal } from '../platform/Refusal.js';
import type { Acting } from '../platform/use-act.js';
import { PanelChoice } from './PanelChoice.js';

/** The panel whose turn it is: what speaks against it, what can hurt, what is said of it, and the deed. */
export function TurnForm({
  label,
  steps,
  chosen,
  onChosen,
  warnings,
  hazards,
  cautions,
  deed,
  act,
  onSubmit,
  children,
}: {
  label: string;
  steps: readonly SequenceStep[];
  chosen: SequenceStep;
  onChosen: (mark: string) => void;
  /** sentences; null for one that does not hold */
  warnings: readonly (string | null)[];
  /** the cautions in a few words */
  hazards: string;
  cautions: readonly string[];
  deed: string;
  act: Pick<Acting, 'busy' | 'why'>;
  onSubmit: () => void;
  children: ReactNode;
}) {
  return (
    <form
      onSubmit={(event: SubmitEvent) => {
        event.preventDefault();
        onSubmit();
      }}
      aria-label={label}
    >
      <PanelChoice steps={steps} chosen={chosen} onChosen={onChosen} />
      {warnings.map((warning) =>
        warning === null ? null : (
          <p key={warning} className="warn" role="note">
            {warning}
          </p>
        ),
      )}
      <details className="cautions">
        <summary>{hazards}</summary>
        <Cautions keys={cautions} />
      </details>
      {children}
      <Refusal why={act.why} />
      <button type="submit" className="act wide" disabled={act.busy}>
        {deed}
      </button>
    </form>
  );
}
