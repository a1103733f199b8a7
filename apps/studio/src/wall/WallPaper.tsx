import {
  SafekeepingAlarms,
  SafekeepingLines,
  useSafekeeping,
} from '../backups/SafekeepingLines.js';
import { SheetReminder } from '../keys/SheetReminder.js';
import { siteMark } from '../platform/api/sites.js';
import { Go } from '../platform/Go.js';
import { say } from '../platform/language/say.js';
import { pathOf } from '../platform/place.js';
import type { StandingWindow } from './wall-layout.js';

/** What lies beside the wall as a whole: the sites, and what the keeper should see to. */
export function WallPaper({
  standing,
  mayAdd,
  ready,
}: {
  standing: readonly { site: StandingWindow['site']; windows: readonly StandingWindow[] }[];
  mayAdd: boolean;
  ready: boolean;
}) {
  const safekeeping = useSafekeeping();
  if (!ready) return null;
  return (
    <article className="paper stack">
      <div>
        <h1>{standing.length === 0 ? say('An empty wall') : say('The wall')}</h1>
        <p className="sub">
          {standing.length === 0
            ? say('Begin with a site: a building whose windows you look after.')
            : say('Every site, its windows side by side as seen from inside.')}
        </p>
      </div>
      <SheetReminder />
      <SafekeepingAlarms of={safekeeping} />
      <ul className="lines">
        {standing.map(({ site, windows }) => (
          <li key={site.siteId}>
            <Go className="word" to={pathOf(siteMark(site))}>
              {siteMark(site)} {site.name}
            </Go>
            <span>
              {say('{windows, plural, one {1 window} other {# windows}}', {
                windows: windows.length,
              })}
            </span>
          </li>
        ))}
      </ul>
      {mayAdd ? (
        <p className="row">
          <Go className={standing.length === 0 ? 'act' : 'act quiet'} to="/add-site">
            {say('Add a site')}
          </Go>
        </p>
      ) : null}
      <SafekeepingLines of={safekeeping} />
    </article>
  );
}
