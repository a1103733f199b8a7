/** What of the wall one has come near to. */
import type { HungWindow } from './wall-layout.js';
import type { WallView } from './wall-view.js';

/** Panels higher than this, px, show their leads. */
const leadsFromPx = 14;
/** A panel that takes so much of the screen is worked at on the bench. */
const fills = 0.95;

/** Windows on the screen that are large enough for their leads to be seen. */
export function windowsNear(windows: readonly HungWindow[], view: WallView): readonly string[] {
  return windows
    .filter(({ shape, xMm, yMm }) => {
      const [left, top] = [xMm * view.k + view.tx, yMm * view.k + view.ty];
      const [width, height] = [shape.widthMm * view.k, shape.heightMm * view.k];
      const rows = Math.max(1, shape.rows.length);
      return (
        left < view.width &&
        top < view.height &&
        left + width > 0 &&
        top + height > 0 &&
        height / rows > leadsFromPx
      );
    })
    .map(({ windowId }) => windowId);
}

/** The panel in the middle, once it fills the screen. */
export function panelFilling(
  windows: readonly HungWindow[],
  view: WallView,
): { readonly windowId: string; readonly mark: string } | undefined {
  const x = (view.width / 2 - view.tx) / view.k;
  const y = (view.height / 2 - view.ty) / view.k;
  for (const { windowId, shape, xMm, yMm } of windows)
    for (const { mark, boundsMm } of shape.places) {
      const { minX, minY, maxX, maxY } = boundsMm;
      const [px, py] = [x - xMm, y - yMm];
      if (px < minX || px > maxX || py < minY || py > maxY) continue;
      const share = Math.max(
        ((maxX - minX) * view.k) / view.width,
        ((maxY - minY) * view.k) / view.height,
      );
      if (share > fills) return { windowId, mark };
    }
  return undefined;
}
