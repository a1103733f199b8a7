/** What is read off a bulge: how far, where, how steep, how round, how much longer; each with its ±. */
import { boundsMm, isInsideRing, type XyMm } from '#libs/net';
import type { Figure, Heights } from './reference.js';

export interface BulgeLine {
  /** From edge to edge of the panel through the place that stands out most. */
  readonly direction: 'across' | 'up';
  readonly fromMm: XyMm;
  readonly toMm: XyMm;
  readonly chordMm: number;
  readonly sagittaMm: Figure;
  readonly sagittaRatio: number;
  /** Of the line along the surface over its chord. */
  readonly extraMm: Figure;
}

export interface BulgeFigures {
  /** Farthest from the reference; positive towards the inside. */
  readonly maximumMm: Figure;
  readonly atMm: XyMm;
  /** Farthest towards the other side. */
  readonly oppositeMm: number;
  /** Steepest place, degrees out of the reference. */
  readonly slopeDeg: Figure;
  readonly slopeAtMm: XyMm;
  /** Tightest curve at the maximum; null where the readings cannot tell it from flat. */
  readonly radiusMm: Figure | null;
  readonly lines: readonly BulgeLine[];
  readonly noiseMm: number;
  readonly statedNoiseMm: number;
  readonly readings: number;
}

const STEPS = 80;
const LINE_STEPS = 120;

export function bulgeFigures(heights: Heights): BulgeFigures {
  const { surface } = heights;
  const inside = placesInside(surface.outlineMm);
  let [top, bottom] = [inside[0]!, inside[0]!];
  let [high, low] = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY];
  let steepest = inside[0]!;
  let lean = 0;
  for (const place of inside) {
    const height = heights.heightMm(place);
    if (height > high) [high, top] = [height, place];
    if (height < low) [low, bottom] = [height, place];
    const here = Math.hypot(...heights.leans(place));
    if (here > lean) [lean, steepest] = [here, place];
  }
  const isInwards = high >= -low;
  const atMm = refined(heights, isInwards ? top : bottom, isInwards ? 1 : -1);
  const form = heights.form(atMm);
  return {
    maximumMm: { value: heights.heightMm(atMm), sigma: heights.sigmaOf(form) },
    atMm,
    oppositeMm: isInwards ? low : high,
    slopeDeg: slopeAt(heights, steepest),
    slopeAtMm: steepest,
    radiusMm: radiusAt(heights, atMm),
    lines: (['across', 'up'] as const).flatMap((direction) =>
      lineThrough(heights, atMm, direction),
    ),
    noiseMm: surface.noiseMm,
    statedNoiseMm: surface.statedNoiseMm,
    readings: surface.readings.length,
  };
}

/** Places within the outline on an even grid. */
export function placesInside(outlineMm: readonly XyMm[], steps = STEPS): XyMm[] {
  const box = boundsMm(outlineMm);
  const [width, height] = [box.maxX - box.minX, box.maxY - box.minY];
  const step = Math.max(width, height) / steps;
  const places: XyMm[] = [];
  for (let y = box.minY + step / 2; y < box.maxY; y += step) {
    for (let x = box.minX + step / 2; x < box.maxX; x += step) {
      if (isInsideRing([x, y], outlineMm)) places.push([x, y]);
    }
  }
  return places;
}

/** Uphill from a place of the grid in ever shorter steps, within the panel. */
function refined(heights: Heights, from: XyMm, sign: 1 | -1): XyMm {
  const { outlineMm } = heights.surface;
  let best = from;
  const box = boundsMm(outlineMm);
  for (let step = (box.maxX - box.minX) / STEPS; step > 0.2; step /= 2) {
    for (let moved = true; moved; ) {
      moved = false;
      for (const [dx, dy] of [
        [step, 0],
        [-step, 0],
        [0, step],
        [0, -step],
      ] as const) {
        const next: XyMm = [best[0] + dx, best[1] + dy];
        if (!isInsideRing(next, outlineMm)) continue;
        if (sign * (heights.heightMm(next) - heights.heightMm(best)) <= 1e-9) continue;
        best = next;
        moved = true;
      }
    }
  }
  return best;
}

const DIFFERENCE_MM = 1;

/** The form of a derivative, by the difference of two heights a millimetre apart. */
function leanForms(heights: Heights, [x, y]: XyMm): [Float64Array, Float64Array] {
  const half = DIFFERENCE_MM / 2;
  const less = (a: Float64Array, b: Float64Array) =>
    a.map((value, i) => (value - b[i]!) / DIFFERENCE_MM);
  return [
    less(heights.form([x + half, y]), heights.form([x - half, y])),
    less(heights.form([x, y + half]), heights.form([x, y - half])),
  ];
}

function slopeAt(heights: Heights, place: XyMm): Figure {
  const [lx, ly] = heights.leans(place);
  const lean = Math.hypot(lx, ly);
  const [fx, fy] = leanForms(heights, place);
  const along = fx.map((value, i) => (lean === 0 ? value : (lx * value + ly * fy[i]!) / lean));
  const perRad = 180 / Math.PI;
  return {
    value: Math.atan(lean) * perRad,
    sigma: (heights.sigmaOf(along) / (1 + lean ** 2)) * perRad,
  };
}

/**
 * Radius of the tightest curve: the larger eigenvalue of the second derivatives, where the surface is
 * level. Beyond what the noise lets through (two standard deviations) there is none.
 */
function radiusAt(heights: Heights, place: XyMm): Figure | null {
  const [xx, xy, yy] = heights.bends(place);
  const mean = (xx + yy) / 2;
  const apart = Math.hypot((xx - yy) / 2, xy);
  const bend = Math.abs(mean + apart) > Math.abs(mean - apart) ? mean + apart : mean - apart;
  const angle = Math.atan2(2 * xy, xx - yy) / 2 + (bend === mean + apart ? 0 : Math.PI / 2);
  const [cx, cy] = [Math.cos(angle), Math.sin(angle)];
  // Second difference along that direction: its noise is that of the bend.
  const h = 5;
  const here = heights.form(place);
  const [plus, minus] = [1, -1].map((side) =>
    heights.form([place[0] + side * h * cx, place[1] + side * h * cy]),
  ) as [Float64Array, Float64Array];
  const sigma = heights.sigmaOf(
    here.map((value, i) => (plus[i]! - 2 * value + minus[i]!) / h ** 2),
  );
  if (Math.abs(bend) < 2 * sigma) return null;
  return { value: 1 / Math.abs(bend), sigma: sigma / bend ** 2 };
}

/** Chord, sagitta and extra length of the line from edge to edge through a place. */
function lineThrough(heights: Heights, at: XyMm, direction: BulgeLine['direction']): BulgeLine[] {
  const { outlineMm } = heights.surface;
  const axis = direction === 'across' ? 0 : 1;
  const cuts = crossings(outlineMm, at, axis);
  const before = cuts.filter((cut) => cut < at[axis]).at(-1);
  const after = cuts.find((cut) => cut > at[axis]);
  if (before === undefined || after === undefined) return [];
  const place = (along: number): XyMm => (axis === 0 ? [along, at[1]] : [at[0], along]);
  const [fromMm, toMm] = [place(before), place(after)];
  const chordMm = after - before;
  const share = (at[axis] - before) / chordMm;
  const forms = [heights.form(at), heights.form(fromMm), heights.form(toMm)] as const;
  const sagitta =
    heights.heightMm(at) -
    ((1 - share) * heights.heightMm(fromMm) + share * heights.heightMm(toMm));
  const sagittaForm = forms[0].map(
    (value, i) => value - ((1 - share) * forms[1][i]! + share * forms[2][i]!),
  );
  const sagittaMm = { value: sagitta, sigma: heights.sigmaOf(sagittaForm) };
  return [
    {
      direction,
      fromMm,
      toMm,
      chordMm,
      sagittaMm,
      sagittaRatio: Math.abs(sagitta) / chordMm,
      extraMm: extraAlong(heights, place, before, after),
    },
  ];
}

/** Where a line along an axis through a place crosses a ring, in rising order. */
function crossings(ring: readonly XyMm[], at: XyMm, axis: 0 | 1): number[] {
  const other = axis === 0 ? 1 : 0;
  return ring
    .flatMap((a, i) => {
      const b = ring[(i + 1) % ring.length]!;
      const [da, db] = [a[other] - at[other], b[other] - at[other]];
      if (da > 0 === db > 0) return [];
      return [a[axis] + ((b[axis] - a[axis]) * da) / (da - db)];
    })
    .sort((a, b) => a - b);
}

/** Length along the surface over the straight line between its ends; ± by its derivative. */
function extraAlong(
  heights: Heights,
  place: (along: number) => XyMm,
  from: number,
  to: number,
): Figure {
  const step = (to - from) / LINE_STEPS;
  const forms = Array.from({ length: LINE_STEPS + 1 }, (_, i) =>
    heights.form(place(from + i * step)),
  );
  const high = Array.from({ length: LINE_STEPS + 1 }, (_, i) =>
    heights.heightMm(place(from + i * step)),
  );
  let length = 0;
  const change = new Float64Array(forms[0]!.length);
  const add = (form: Float64Array, times: number) => {
    for (let i = 0; i < change.length; i++) change[i]! += times * form[i]!;
  };
  for (let i = 0; i < LINE_STEPS; i++) {
    const rise = high[i + 1]! - high[i]!;
    const stretch = Math.hypot(step, rise);
    length += stretch;
    add(forms[i + 1]!, rise / stretch);
    add(forms[i]!, -rise / stretch);
  }
  const overall = high.at(-1)! - high[0]!;
  const chord = Math.hypot(to - from, overall);
  add(forms.at(-1)!, -overall / chord);
  add(forms[0]!, overall / chord);
  return { value: length - chord, sigma: heights.sigmaOf(change) };
}
