import type { WindowAnswer } from '../platform/api/windows.js';
import { Go } from '../platform/Go.js';
import { pathOf } from '../platform/place.js';
import { countOf, sayPanelMm } from '../platform/say-number.js';
import type { StandingWindow } from './wall-layout.js';

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
    <article className="paper" aria-label={`Record of ${mark}`}>
      <h1>{window.mark}</h1>
      <p className="sub">{window.title}</p>
      <table className="facts">
        <tbody>
          <tr>
            <th scope="row">opening</th>
            <td>{sayPanelMm(shape.widthMm, shape.heightMm)}, as drawn</td>
          </tr>
          <tr>
            <th scope="row">lights</th>
            <td>{shape.lights.length}</td>
          </tr>
          <tr>
            <th scope="row">panels</th>
            <td>
              {shape.places.length}
              {shape.tracery.length > 0 ? `, ${shape.tracery.length} of them in the tracery` : ''}
            </td>
          </tr>
          <tr>
            <th scope="row">bars</th>
            <td>{shape.bars.length}</td>
          </tr>
          <tr>
            <th scope="row">drawn from a rubbing</th>
            <td>
              {sum((panel) => (panel.netRevision === null ? 0 : 1))} of {panels.length}
            </td>
          </tr>
          <tr>
            <th scope="row">findings</th>
            <td>{sum((panel) => panel.findings)}</td>
          </tr>
        </tbody>
      </table>
      <p className="hint how">
        Choose a panel: tap it, step to it with the arrow keys, or type its mark above (
        {countOf(panels.length, 'panel')}).
      </p>
      <p className="row also">
        <Go className="word" to={pathOf(mark, 'papers')}>
          records and dossier
        </Go>
        <Go className="word" to={pathOf(mark, 'work')}>
          work done
        </Go>
        {shape.bars.length > 0 ? (
          <Go className="word" to={pathOf(mark, 'bars')}>
            bars in the wind
          </Go>
        ) : null}
        <Go className="word" to={pathOf(mark, 'redraw')}>
          change the drawing
        </Go>
      </p>
    </article>
  );
}
