/** Whether a map from sheet to picture is one that a camera can make, and what to say when the marks were mixed up. */
import { type Homography, project } from './homography.js';

export interface View {
  /**
   * How far the image of a square departs from what any camera sees of it: ratio of its sides after the best
   * foreshortening, at least 1. Infinite where the map turns the sheet over or through the horizon.
   */
  readonly stretch: number;
  /** Largest over smallest scale among the marks. */
  readonly depth: number;
  /** Turn of the sheet in the picture, radians. */
  readonly turn: number;
}

/** Focal lengths tried, in half diagonals of the picture: from an ultra-wide lens to a long one, and none at all. */
const FOCAL = [0.7, 0.85, 1, 1.2, 1.5, 1.9, 2.5, 3.5, 6, Infinity];
/** A picture cut out of another has its axis off centre; this much is left for it. */
const STRETCH_LIMIT = 1.15;
/** No one photographs a rubbing so slantwise that its far side is half as large as its near one. */
const DEPTH_LIMIT = 2;

/**
 * @param xyMm places of the marks, flat; the view is judged over them
 * Source: orthogonal columns of equal length in K⁻¹H, Zhang, A flexible new technique for camera calibration, 2000, from memory.
 */
export function viewOf(
  imageFromPanel: Homography,
  xyMm: Float64Array,
  image: { readonly widthPx: number; readonly heightPx: number },
): View {
  const h = imageFromPanel;
  let least = Infinity;
  let most = 0;
  for (let k = 0; k < xyMm.length; k += 2) {
    const [x, y] = [xyMm[k]!, xyMm[k + 1]!];
    const w = h[6]! * x + h[7]! * y + h[8]!;
    const [ox, oy] = project(h, x, y);
    const [ax, ay] = project(h, x + 0.1, y);
    const [bx, by] = project(h, x, y + 0.1);
    const area = ((ax - ox) * (by - oy) - (ay - oy) * (bx - ox)) * 100;
    if (!(w > 0) || !(area > 0)) return { stretch: Infinity, depth: Infinity, turn: 0 };
    least = Math.min(least, Math.sqrt(area));
    most = Math.max(most, Math.sqrt(area));
  }
  const cx = (image.widthPx - 1) / 2;
  const cy = (image.heightPx - 1) / 2;
  const r0 = Math.hypot(image.widthPx, image.heightPx) / 2;
  let stretch = Infinity;
  for (const focal of FOCAL) {
    const f = focal * r0;
    const column = (c: number): [number, number, number] => [
      h[c]! - cx * h[6 + c]!,
      h[3 + c]! - cy * h[6 + c]!,
      Number.isFinite(f) ? f * h[6 + c]! : 0,
    ];
    const a = column(0);
    const b = column(1);
    const la = Math.hypot(...a);
    const lb = Math.hypot(...b);
    const cosine = Math.abs(a[0] * b[0] + a[1] * b[1] + a[2] * b[2]) / (la * lb);
    // sides of the rhombus or rectangle that a square would become
    stretch = Math.min(
      stretch,
      Math.max(la / lb, lb / la) * Math.sqrt((1 + cosine) / (1 - Math.min(cosine, 0.999))),
    );
  }
  const mid = xyMm.length / 2;
  const mx = xyMm.reduce((s, v, i) => (i % 2 === 0 ? s + v / mid : s), 0);
  const my = xyMm.reduce((s, v, i) => (i % 2 === 1 ? s + v / mid : s), 0);
  const [ox, oy] = project(h, mx, my);
  const [ax, ay] = project(h, mx + 1, my);
  return { stretch, depth: most / least, turn: Math.atan2(ay - oy, ax - ox) };
}

export function isPlausible(view: View): boolean {
  return view.stretch < STRETCH_LIMIT && view.depth < DEPTH_LIMIT;
}

/**
 * Another order of the taps under which they fit, where the order as tapped does not: the exchange of two marks, and for
 * four marks any order. Of several the one that leaves the sheet most upright.
 * @param viewAs view with the taps in another order, undefined when the measurements do not fit it
 * @returns for each mark the index of the tap that belongs to it
 */
export function likelyOrder(
  n: number,
  viewAs: (order: readonly number[]) => View | undefined,
): readonly number[] | undefined {
  let best: readonly number[] | undefined;
  let least = Infinity;
  for (const order of n === 4 ? ordersOfFour() : exchanges(n)) {
    const view = viewAs(order);
    if (!view || !isPlausible(view)) continue;
    const moved = order.filter((v, k) => v !== k).length;
    const cost = Math.abs(view.turn) + 5 * Math.log(view.stretch) + 0.05 * moved;
    if (cost < least) {
      least = cost;
      best = order;
    }
  }
  return best;
}

function exchanges(n: number): number[][] {
  const out: number[][] = [];
  for (let i = 0; i < n; i++) {
    for (let j = i + 1; j < n; j++) {
      const order = Array.from({ length: n }, (_, k) => k);
      order[i] = j;
      order[j] = i;
      out.push(order);
    }
  }
  return out;
}

function ordersOfFour(): number[][] {
  const out: number[][] = [];
  for (let a = 0; a < 4; a++) {
    for (let b = 0; b < 4; b++) {
      for (let c = 0; c < 4; c++) {
        const d = 6 - a - b - c;
        if (a !== b && b !== c && a !== c && !(a === 0 && b === 1 && c === 2))
          out.push([a, b, c, d]);
      }
    }
  }
  return out;
}

/** "B and C look swapped." or the order that would fit. */
export function sayOrder(names: readonly string[], order: readonly number[]): string {
  const moved = order.flatMap((v, k) => (v === k ? [] : [k]));
  if (moved.length === 2) return `${names[moved[0]!]} and ${names[moved[1]!]} look swapped`;
  // tap k belongs to the mark whose order holds it
  const tapped = names.map((_, k) => names[order.indexOf(k)]!);
  return `they look as if they had been tapped in the order ${tapped.join(', ')}`;
}
