import type { WindowPanel } from '../platform/api/windows.js';
import { Go } from '../platform/Go.js';
import { say } from '../platform/language/say.js';
import { pathOf } from '../platform/place.js';
import type { StandingWindow } from './wall-layout.js';
import type { WallView } from './wall-view.js';

const pinWidthPx = 210;

/** The next act, pinned at the panel it is about. */
export function Pin({
  at,
  panel,
  look,
  mark,
}: {
  at: StandingWindow;
  panel: WindowPanel;
  look: WallView;
  mark: string;
}) {
  const place = at.shape.places.find((known) => known.mark === panel.mark);
  if (!place) return null;
  const screenX = (mm: number) => (mm + at.xMm) * look.k + look.tx;
  const screenY = (mm: number) => (mm + at.yMm) * look.k + look.ty;
  const { minX, minY, maxX, maxY } = place.boundsMm;
  const right = screenX(maxX) + 14;
  // Beside the panel where there is room, over or under it where there is not.
  const beside = right + pinWidthPx < look.width;
  const over = !beside && screenY(minY) > 92;
  const x = beside ? right : (screenX(minX) + screenX(maxX)) / 2;
  const y = beside ? (screenY(minY) + screenY(maxY)) / 2 : over ? screenY(minY) : screenY(maxY);
  const half = beside ? 0 : pinWidthPx / 2;
  return (
    <Go
      className={`act pin ${beside ? 'beside-panel' : over ? 'over-panel' : 'under-panel'}`}
      to={pathOf(`${mark}.${panel.mark}`)}
      style={{
        left: `${Math.min(look.width - half, Math.max(half, x))}px`,
        top: `${Math.min(look.height - 60, Math.max(40, y))}px`,
      }}
    >
      <span>
        {panel.mark}: {pinWords(panel)}
        <small>{say('open on the bench')}</small>
      </span>
    </Go>
  );
}

function pinWords(panel: WindowPanel): string {
  if (panel.netRevision === null) return say('not drawn yet');
  if (panel.signedRevision !== panel.netRevision) return say('drawing to sign');
  return panel.findings === 0
    ? say('record what you see')
    : say('{pieces} pieces', { pieces: panel.pieces });
}
