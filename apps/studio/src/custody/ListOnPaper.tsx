import { checklistFile } from '../platform/api/custody.js';
import { say } from '../platform/language/say.js';

/** The same list on paper, for places where nobody holds a phone. */
export function ListOnPaper({
  of,
  list,
}: {
  of: Parameters<typeof checklistFile>[0];
  list: Parameters<typeof checklistFile>[1];
}) {
  return (
    <p className="row">
      <a className="act quiet" href={checklistFile(of, list)} target="_blank" rel="noreferrer">
        {say('This list on paper (PDF)')}
      </a>
    </p>
  );
}
