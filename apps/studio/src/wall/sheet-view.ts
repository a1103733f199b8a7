/** How a sheet of the world (mm, y down) lies on the screen: screenPx = worldMm × k + t. */
import type { Box } from '../drawing/plane.js';

export interface SheetView {
  readonly k: number;
  readonly tx: number;
  readonly ty: number;
}

export interface Size {
  readonly width: number;
  readonly height: number;
}

/** Where the drawing must leave room: the came of time on the left, on a small screen the key below. */
function roomFor(size: Size): { leftPx: number; footPx: number; airPx: number } {
  return size.width < 640
    ? { leftPx: 0, footPx: 116, airPx: size.width * 0.07 }
    : { leftPx: 190, footPx: 0, airPx: 50 };
}

/** The view that shows a box whole, with air round it. */
export function fitView(box: Box, size: Size): SheetView {
  const { leftPx, footPx, airPx } = roomFor(size);
  const [w, h] = [Math.max(1, box.maxX - box.minX), Math.max(1, box.maxY - box.minY)];
  const k = Math.max(
    1e-4,
    Math.min((size.width - leftPx - 2 * airPx) / w, (size.height - footPx - 2 * airPx) / h),
  );
  return {
    k,
    tx: (size.width + leftPx) / 2 - ((box.minX + box.maxX) / 2) * k,
    ty: (size.height - footPx) / 2 - ((box.minY + box.maxY) / 2) * k,
  };
}

/** Zooms so that the world point under a place on the screen stays there. */
export function zoomAt(view: SheetView, factor: number, x: number, y: number): SheetView {
  const k = Math.min(8, Math.max(0.0005, view.k * factor));
  const f = k / view.k;
  return { k, tx: x - (x - view.tx) * f, ty: y - (y - view.ty) * f };
}

/** Between two views, zoom on a log scale so that it feels even. */
export function between(from: SheetView, to: SheetView, ratio: number, size: Size): SheetView {
  const k = from.k * (to.k / from.k) ** ratio;
  const centre = (view: SheetView) => [
    (size.width / 2 - view.tx) / view.k,
    (size.height / 2 - view.ty) / view.k,
  ];
  const [ax, ay] = centre(from);
  const [bx, by] = centre(to);
  // The centre moves as far as the zoom has come, so that neither runs ahead.
  const share =
    Math.abs(to.k / from.k - 1) < 1e-3 ? ratio : (1 / from.k - 1 / k) / (1 / from.k - 1 / to.k);
  return {
    k,
    tx: size.width / 2 - (ax! + (bx! - ax!) * share) * k,
    ty: size.height / 2 - (ay! + (by! - ay!) * share) * k,
  };
}
