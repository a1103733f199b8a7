import { ToBench } from '../bench/ToBench.js';
import type { Bench } from '../bench/use-bench.js';
import { Go } from '../platform/Go.js';
import { rich } from '../platform/language/rich.js';
import { say, sayWord } from '../platform/language/say.js';
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
      <h1>{rich('Rubbings of {mark}', { mark: panel.mark })}</h1>
      <ul className="lines">
        {panel.rubbings.map((rubbing) => (
          <li key={rubbing.rubbingId}>
            <span>
              {'notRubbedBecause' in rubbing.conditions
                ? say('not rubbed because {notRubbedBecause}', {
                    notRubbedBecause: rubbing.conditions.notRubbedBecause,
                  })
                : say('{medium}, {face} face{takenBy}{shelf}', {
                    medium: rubbing.sheet?.medium ?? say('rubbing'),
                    face: sayWord(rubbing.sheet?.face ?? 'inside'),
                    takenBy: rubbing.sheet?.takenBy
                      ? say(', by {takenBy}', { takenBy: rubbing.sheet.takenBy })
                      : '',
                    shelf: rubbing.sheet?.shelf
                      ? say(', kept at {shelf}', { shelf: rubbing.sheet.shelf })
                      : '',
                  })}
            </span>
            <span>{rubbing.happened ?? ''}</span>
          </li>
        ))}
      </ul>
      <div className="row">
        {onMarks ? (
          <button type="button" onClick={onMarks}>
            {say('Set the marks on its picture')}
          </button>
        ) : null}
        {taken && !pictured ? (
          <Go className="act" to={pathOf(panel.fullMark, 'send', 'rubbing')}>
            {say('Send the picture of the rubbing')}
          </Go>
        ) : null}
        {onAnother ? (
          <button type="button" className="quiet" onClick={onAnother}>
            {say('Record another')}
          </button>
        ) : null}
        <ToBench mark={panel.fullMark} />
      </div>
    </section>
  );
}
