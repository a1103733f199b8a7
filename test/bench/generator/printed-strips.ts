/** Strips of the printed target sheet, cut apart and laid on the rubbing along the sides of the panel. */
import {
  TAG_CELLS,
  TAG_FAMILY,
  TAG_MM,
  type TargetLayout,
  type TargetStrip,
  targetLayout,
} from '#libs/rubbing';
import type { Point } from './polyline.js';
import type { RandomStream } from './random-stream.js';
import type { Sheet } from './sheet.js';

/** Where the strip's top left corner came to lie, panel mm as the sheet shows it, and how it is turned, radians. */
export interface LaidStrip {
  readonly strip: TargetStrip;
  readonly atMm: Point;
  readonly turn: number;
}

/** Room that four strips of A4 need beside the panel, on top of the usual margin. */
export const STRIP_MARGIN_MM = 18;
const LAYOUT: TargetLayout = targetLayout('A4');
/** Reflectance beside bare rubbing paper of 1. */
const PRINT_PAPER = 1.03;
const TONER = 0.1;

/** One along each side, laid by eye: not parallel to it, not at its middle. */
export function layStrips(random: RandomStream, [w, h]: readonly [number, number]): LaidStrip[] {
  const [long, high] = LAYOUT.stripMm;
  return LAYOUT.strips.slice(0, 4).map((strip, side) => {
    const turn = random.between(-0.012, 0.012);
    const gap = random.between(5, 8);
    const along = (length: number): number => (length - long) / 2 + random.between(-15, 15);
    const beyond = gap + high;
    const places: readonly Point[] = [
      [along(w), -beyond],
      [w + beyond, along(h)],
      [w - along(w), h + beyond],
      [-beyond, h - along(h)],
    ];
    return { strip, atMm: places[side]!, turn: (side * Math.PI) / 2 + turn };
  });
}

/** @param tone reflectance of what lies on the paper, 1 = bare; the strips hide it */
export function printStrips(sheet: Sheet, tone: Float32Array, strips: readonly LaidStrip[]): void {
  const steps = [-0.25, 0.25];
  for (const { strip, atMm, turn } of strips) {
    const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
    const reflectanceAt = (xMm: number, yMm: number): number | undefined => {
      const [dx, dy] = [xMm - atMm[0], yMm - atMm[1]];
      return onStrip(strip, cos * dx + sin * dy, cos * dy - sin * dx);
    };
    for (let y = 0; y < sheet.heightPx; y++) {
      for (let x = 0; x < sheet.widthPx; x++) {
        const mm = (v: number, from: number): number => (v + 0.5) / sheet.pxPerMm + from;
        if (reflectanceAt(mm(x, sheet.leftMm), mm(y, sheet.topMm)) === undefined) continue;
        const i = y * sheet.widthPx + x;
        let sum = 0;
        for (const b of steps) {
          for (const a of steps) {
            sum += reflectanceAt(mm(x + a, sheet.leftMm), mm(y + b, sheet.topMm)) ?? tone[i]!;
          }
        }
        tone[i] = sum / 4;
      }
    }
  }
}

/** @returns undefined beside the strip */
function onStrip(strip: TargetStrip, x: number, y: number): number | undefined {
  const [long, high] = LAYOUT.stripMm;
  if (x < 0 || y < 0 || x > long || y > high) return undefined;
  for (const tag of strip.tags) {
    const i = Math.floor(((x - tag.xMm) / TAG_MM) * TAG_CELLS);
    const j = Math.floor(((y - tag.yMm) / TAG_MM) * TAG_CELLS);
    if (i < 0 || j < 0 || i >= TAG_CELLS || j >= TAG_CELLS) continue;
    const isFrame = i === 0 || j === 0 || i === TAG_CELLS - 1 || j === TAG_CELLS - 1;
    const isBlack = isFrame || TAG_FAMILY[tag.id]![(j - 1) * (TAG_CELLS - 2) + i - 1] === 0;
    return isBlack ? TONER : PRINT_PAPER;
  }
  return PRINT_PAPER;
}
