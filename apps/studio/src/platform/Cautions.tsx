import { cautionsFor, cautionText, DEFERRAL } from '#libs/vocabulary';
import { sayWord } from './language/say.js';
import { today } from './today.js';

/** What can hurt somebody or the object, where the act happens; no figure without a jurisdiction. */
export function Cautions({ keys }: { keys: readonly string[] }) {
  return (
    <div className="caution" role="note">
      {cautionsFor(keys).map((caution) => (
        <p key={caution.key}>
          <b>{sayWord(caution.hazard)}</b>
          {sayWord(cautionText(caution, null, today()))}
        </p>
      ))}
      <p>{sayWord(DEFERRAL)}</p>
    </div>
  );
}
