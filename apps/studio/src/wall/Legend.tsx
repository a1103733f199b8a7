import type { WindowPanel } from '../platform/api/windows.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { HatchTile } from './HatchTile.js';
import { countShaded } from './showing/make-showing.js';
import { type Showing, showWords } from './showing/showing.js';

/** The key to the drawing with its counts of panels; generated from what is shown. */
export function Legend({
  showing,
  panels,
  beside,
}: {
  showing: Showing;
  /** by window */
  panels: ReadonlyMap<string, readonly WindowPanel[]>;
  /** of the second day, where two are shown */
  beside?: ReadonlyMap<string, readonly WindowPanel[]> | undefined;
}) {
  // Before the panels are known there is nothing to count, and nought would be a claim.
  if ([...panels.values()].every((list) => list.length === 0)) return null;
  const counts = countShaded(showing, panels);
  const second = beside && countShaded(showing, beside);
  return (
    <section className="legend" aria-label={say('Key')}>
      <p className="legend-what">
        {rich('{what}, panels{second}', {
          what: showWords[showing.what],
          second: second ? say(' on the first and the second day') : '',
        })}
      </p>
      <ul aria-label={say('Key to the drawing')}>
        {showing.shades
          .filter(({ key }) =>
            isInKey(showing, key, (counts.get(key) ?? 0) + (second?.get(key) ?? 0)),
          )
          .map((shade) => (
            <li key={shade.key}>
              <HatchTile hatch={shade.hatch} />
              <span>
                {shade.words}{' '}
                <b>
                  {counts.get(shade.key) ?? 0}
                  {second ? ` · ${second.get(shade.key) ?? 0}` : ''}
                </b>
              </span>
            </li>
          ))}
      </ul>
    </section>
  );
}

/** Long keys leave out what is nowhere; the four states of work and the classes always stand there. */
const isInKey = ({ what, shades }: Showing, key: string, count: number): boolean =>
  count > 0 || what === 'condition' || (shades.length <= 4 && key !== 'others');
