import { siteMark } from '../platform/api/sites.js';
import { mayDo } from '../platform/api/state.js';
import type { WindowAnswer } from '../platform/api/windows.js';
import { Go } from '../platform/Go.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { pathOf } from '../platform/place.js';
import { useSession } from '../platform/session.js';
import type { StandingSite } from './wall-layout.js';

/** The site's record and its windows as words. */
export function SitePaper({
  site: { site, windows },
  details,
}: {
  site: StandingSite;
  details: ReadonlyMap<string, WindowAnswer> | undefined;
}) {
  const { me } = useSession();
  const mark = siteMark(site);
  return (
    <article className="paper" aria-label={say('Record of {mark}', { mark })}>
      <h1>{site.name}</h1>
      <p className="sub">
        {mark}
        {site.place ? `, ${site.place}` : ''}
      </p>
      <ul className="lines">
        {windows.map(({ window, shape }) => (
          <li key={window.windowId}>
            <Go className="word" to={pathOf(`${mark}.${window.mark}`)}>
              {window.mark}: {window.title}
            </Go>
            <span>
              {rich('{panels} panels', {
                panels: details?.get(window.windowId)?.panels.length ?? shape.places.length,
              })}
            </span>
          </li>
        ))}
      </ul>
      {windows.length === 0 ? <p>{say('No window is drawn yet.')}</p> : null}
      <p className="row card-acts">
        {mayDo(me, site.siteId, 'conservator') ? (
          <Go
            className={windows.length === 0 ? 'act' : 'act quiet'}
            to={pathOf(mark, 'add-window')}
          >
            {say('Draw a window')}
          </Go>
        ) : null}
        <Go className="act quiet" to={pathOf(mark, 'papers')}>
          {say('Records and dossier')}
        </Go>
        <Go className="act quiet" to={pathOf(mark, 'ranking')}>
          {say('Windows by urgency')}
        </Go>
        <Go className="act quiet" to={pathOf(mark, 'work')}>
          {say('Work done')}
        </Go>
        <Go className="act quiet" to={pathOf(mark, 'works')}>
          {say('The works')}
        </Go>
      </p>
    </article>
  );
}
