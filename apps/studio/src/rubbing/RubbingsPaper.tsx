import type { Bench } from '../bench/use-bench.js';
import { Go } from '../platform/Go.js';
import { pathOf } from '../platform/place.js';

/** What was rubbed, or why not, and what is missing. */
export function RubbingsPaper({
  bench,
  onMarks,
  onAnother,
}: {
  bench: Bench;
  onMarks: (() => void) | undefined;
  onAnother: (() => void) | undefined;
}) {
  const { panel } = bench;
  const pictured = panel.media.some((media) => media.kind === 'rubbing');
  const taken = panel.rubbings.some((rubbing) => !('notRubbedBecause' in rubbing.conditions));
  return (
    <section className="paper stack">
      <h1>Rubbings of {panel.mark}</h1>
      <ul className="lines">
        {panel.rubbings.map((rubbing) => (
          <li key={rubbing.rubbingId}>
            <span>
              {'notRubbedBecause' in rubbing.conditions
                ? `not rubbed because ${rubbing.conditions.notRubbedBecause}`
                : `${rubbing.sheet?.medium ?? 'rubbing'}, ${rubbing.sheet?.face ?? 'inside'} face${rubbing.sheet?.takenBy ? `, by ${rubbing.sheet.takenBy}` : ''}${rubbing.sheet?.shelf ? `, kept at ${rubbing.sheet.shelf}` : ''}`}
            </span>
            <span>{rubbing.happened ?? ''}</span>
          </li>
        ))}
      </ul>
      <div className="row">
        {onMarks ? (
          <button type="button" onClick={onMarks}>
            Set the marks on its picture
          </button>
        ) : null}
        {taken && !pictured ? (
          <Go className="act" to={pathOf(panel.fullMark, 'send', 'rubbing')}>
            Send the picture of the rubbing
          </Go>
        ) : null}
        {onAnother ? (
          <button type="button" className="quiet" onClick={onAnother}>
            Record another
          </button>
        ) : null}
        <Go className="act quiet" to={pathOf(panel.fullMark)}>
          Back to the bench
        </Go>
      </div>
    </section>
  );
}
