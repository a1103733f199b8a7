/** How a piece may be turned on a sheet, and the room that it needs there. */
import { boundsMm, type XyMm } from '#libs/net';
import type { CutPiece, SheetKind } from './cutting.js';

/** Steps in which the tightest upright rectangle round a piece is looked for. */
const STEP_DEG = 1;

/** A ring turned clockwise about the frame's corner. */
export function turnedRing(ring: readonly XyMm[], deg: number): XyMm[] {
  const [cos, sin] = unit(deg);
  return ring.map(([x, y]): XyMm => [x * cos - y * sin, x * sin + y * cos]);
}

/** Width and height of the upright rectangle round a turned ring. */
export function roomMm(ring: readonly XyMm[], deg: number): XyMm {
  const { minX, maxX, minY, maxY } = boundsMm(turnedRing(ring, deg));
  return [maxX - minX, maxY - minY];
}

/**
 * The turns in which a piece may lie on such a sheet, in degrees from how it stands in the panel.
 *
 * Streaks have no beginning and no end, so a piece that follows them may lie one way or turned by half.
 * Any other may lie in any way: upright or tight in its rectangle, by quarters; of these only what fits.
 *
 * @param insideMm width and height of the sheet without its edges
 */
export function turnsOn(piece: CutPiece, sheet: SheetKind, [width, height]: XyMm): number[] {
  const { ringMm, grainDeg } = piece;
  const fits = (deg: number) => {
    const [w, h] = roomMm(ringMm, deg);
    return w <= width + 1e-9 && h <= height + 1e-9;
  };
  if (followsGrain(piece, sheet)) {
    const along = norm(sheet.grainDeg! - grainDeg!);
    return [along, norm(along + 180)].filter(fits);
  }
  const tight = tightTurnDeg(ringMm);
  const quarters = [0, 90, 180, 270];
  const turns = [...quarters, ...(tight === 0 ? [] : quarters.map((by) => norm(tight + by)))];
  const fitting = turns.filter(fits);
  if (fitting.length > 0) return fitting;
  for (let deg = 0; deg < 180; deg += STEP_DEG) if (fits(deg)) return [deg, norm(deg + 180)];
  return [];
}

/** The sheet has streaks, and somebody said how they are to run. */
export function followsGrain({ grainDeg }: CutPiece, sheet: SheetKind): boolean {
  return grainDeg !== null && sheet.grainDeg !== null;
}

/** The turn to be told where a piece is cut: along the streaks, else the tightest rectangle, wide side down. */
export function toldTurnDeg(piece: CutPiece, sheet: SheetKind): number {
  if (followsGrain(piece, sheet)) return norm(sheet.grainDeg! - piece.grainDeg!);
  const deg = tightTurnDeg(piece.ringMm);
  const [w, h] = roomMm(piece.ringMm, deg);
  return w >= h ? deg : deg + 90;
}

/** Of 0 to 89, the turn whose upright rectangle is smallest; 0 where that is hardly worse. */
function tightTurnDeg(ring: readonly XyMm[]): number {
  const area = (deg: number) => {
    const [w, h] = roomMm(ring, deg);
    return w * h;
  };
  let best = 0;
  let least = area(0) * 0.98;
  for (let deg = STEP_DEG; deg < 90; deg += STEP_DEG) {
    const here = area(deg);
    if (here < least) [best, least] = [deg, here];
  }
  return best;
}

/** Exact at quarters, so that a square stays one. */
function unit(deg: number): XyMm {
  const quarter = norm(deg) / 90;
  if (Number.isInteger(quarter))
    return [
      [1, 0],
      [0, 1],
      [-1, 0],
      [0, -1],
    ][quarter] as [number, number];
  return [Math.cos((deg * Math.PI) / 180), Math.sin((deg * Math.PI) / 180)];
}

function norm(deg: number): number {
  return ((deg % 360) + 360) % 360;
}
