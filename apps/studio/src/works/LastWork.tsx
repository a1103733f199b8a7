import type { WorkDone } from '../platform/api/works.js';
import { say } from '../platform/language/say.js';

/** What was done, newest first: operation, pieces, material with its batch. */
export function LastWork({
  work,
  words,
}: {
  work: readonly WorkDone[];
  words: (operation: string) => string;
}) {
  return (
    <ul className="lines">
      {work.slice(0, 40).map((one) => (
        <li key={one.interventionId}>
          <span>
            <b>{words(one.operation)}</b>
            <small className="quiet-line">
              {one.subjects.join(', ')}
              {(one.materials ?? []).map(
                ({ name, batch }) =>
                  `; ${name}${batch === null ? '' : say(', batch {batch}', { batch })}`,
              )}
              {one.note ? `; ${one.note}` : ''}
            </small>
          </span>
          <span>{one.happened ?? say('no date')}</span>
        </li>
      ))}
    </ul>
  );
}
