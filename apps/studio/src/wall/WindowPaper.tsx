import { lazy, Suspense } from 'react';
import type { WindowAnswer } from '../platform/api/windows.js';
import { Figure } from '../platform/figure/Figure.js';
import { Go } from '../platform/Go.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { pathOf } from '../platform/place.js';
import { sayPanelMm } from '../platform/say-number.js';
import type { StandingWindow } from './wall-layout.js';

// Asked for after the wall stands: it waits for none of this.
const WindowProgress = lazy(async () => ({
  default: (await import('../works/WindowProgress.js')).WindowProgress,
}));

/** The window's record, and what can be done with the window as a whole. */
export function WindowPaper({
  standing,
  detail,
  mark,
}: {
  standing: StandingWindow;
  detail: WindowAnswer | undefined;
  mark: string;
}) {
  const { shape, window } = standing;
  const panels = detail?.panels ?? [];
  const sum = (of: (panel: (typeof panels)[number]) => number) =>
    panels.reduce((total, panel) => total + of(panel), 0);
  return (
    <article className="paper" aria-label={say('Record of {mark}', { mark })}>
      <h1>{window.mark}</h1>
      <p className="sub">{window.title}</p>
      <table className="facts">
        <tbody>
          <tr>
            <th scope="row">{say('opening')}</th>
            <td>
              <Figure kind="opening-size" of={say('opening')}>
                {say('{widthMm}, as drawn', {
                  widthMm: sayPanelMm(shape.widthMm, shape.heightMm),
                })}
              </Figure>
            </td>
          </tr>
          <tr>
            <th scope="row">{say('lights')}</th>
            <td>{shape.lights.length}</td>
          </tr>
          <tr>
            <th scope="row">{say('panels')}</th>
            <td>
              {shape.places.length}
              {shape.tracery.length > 0
                ? say(', {tracery} of them in the tracery', { tracery: shape.tracery.length })
                : ''}
            </td>
          </tr>
          <tr>
            <th scope="row">{say('bars')}</th>
            <td>{shape.bars.length}</td>
          </tr>
          <tr>
            <th scope="row">{say('drawn from a rubbing')}</th>
            <td>
              {rich('{sum} of {panels}', {
                sum: sum((panel) => (panel.netRevision === null ? 0 : 1)),
                panels: panels.length,
              })}
            </td>
          </tr>
          <tr>
            <th scope="row">{say('findings')}</th>
            <td>
              <Figure kind="finding-count" of={say('findings')}>
                {sum((panel) => panel.findings)}
              </Figure>
            </td>
          </tr>
        </tbody>
      </table>
      <Suspense fallback={null}>
        <WindowProgress key={mark} siteId={window.siteId} mark={mark} />
      </Suspense>
      <p className="hint how">
        {say(
          'Choose a panel: tap it, step to it with the arrow keys, or type its mark above ({panels, plural, one {# panel} other {# panels}}).',
          { panels: panels.length },
        )}
      </p>
      <p className="row also">
        <Go className="word" to={pathOf(mark, 'papers')}>
          {say('records and dossier')}
        </Go>
        <Go className="word" to={pathOf(mark, 'work')}>
          {say('work done')}
        </Go>
        <Go className="word" to={pathOf(mark, 'custody')}>
          {say('out and back')}
        </Go>
        <Go className="word" to={pathOf(mark, 'tests')}>
          {say('tests')}
        </Go>
        <Go className="word" to={pathOf(mark, 'survey')}>
          {say('survey it')}
        </Go>
        {shape.bars.length > 0 ? (
          <Go className="word" to={pathOf(mark, 'bars')}>
            {say('bars in the wind')}
          </Go>
        ) : null}
        <Go className="word" to={pathOf(mark, 'redraw')}>
          {say('change the drawing')}
        </Go>
      </p>
    </article>
  );
}
