import { cautionsFor, cautionText, DEFERRAL } from '#libs/vocabulary';
import { today } from './today.js';

/** What can hurt somebody or the object, where the act happens; no figure without a jurisdiction. */
export function Cautions({ keys }: { keys: readonly string[] }) {
  return (
    <div className="caution" role="note">
      {cautionsFor(keys).map((caution) => (
        <p key={caution.key}>
          <b>{caution.hazard}</b>
          {cautionText(caution, null, today())}
        </p>
      ))}
      <p>{DEFERRAL}</p>
    </div>
  );
}
