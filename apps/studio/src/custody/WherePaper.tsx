import type { Whereabouts } from '../platform/api/custody.js';
import { Go } from '../platform/Go.js';
import { say } from '../platform/language/say.js';
import { pathOf } from '../platform/place.js';
import { sayWhere, whereKind, whereKinds, whereWords } from './say-where.js';

/** Every panel of the window by where it is, and what of it lies elsewhere. */
export function WherePaper({ mark, where }: { mark: string; where: Whereabouts }) {
  const byKind = whereKinds
    .map((kind) => ({ kind, panels: where.panels.filter((one) => whereKind(one.where) === kind) }))
    .filter(({ panels }) => panels.length > 0);
  return (
    <>
      {byKind.map(({ kind, panels }) => (
        <section key={kind} className="where">
          <h2>
            {whereWords(kind)} ({panels.length})
          </h2>
          {kind === 'opening' ? (
            <p className="marks">{panels.map((panel) => panel.mark).join(' ')}</p>
          ) : (
            <ul>
              {panels.map((panel) => (
                <li key={panel.mark}>
                  <Go className="word" to={pathOf(`${mark}.${panel.mark}`)}>
                    {panel.mark}
                  </Go>{' '}
                  {sayWhere(panel.where)}
                </li>
              ))}
            </ul>
          )}
        </section>
      ))}
      {where.away.length > 0 ? (
        <section className="where">
          <h2>{say('Pieces and samples elsewhere than their panel')}</h2>
          <ul>
            {where.away.map((one) => (
              <li key={one.key}>
                <b>{one.key}</b> {sayWhere(one)}
              </li>
            ))}
          </ul>
        </section>
      ) : null}
    </>
  );
}
