/** What a person measures of a window → the drawing as stored, and back. */
import { openingSizeMm, type WindowDrawing } from '#libs/elevation';

type Opening = WindowDrawing['opening'];
export type OpeningKind = Opening['kind'];

export const openingKinds: readonly OpeningKind[] = [
  'rectangular',
  'round-headed',
  'pointed',
  'circular',
  'polygon',
];

/** One opening as measured. Heights from the sill; `widthMm` is the diameter of a circular one. */
export interface OpeningPlan {
  readonly kind: OpeningKind;
  readonly widthMm: number;
  readonly heightMm: number;
  /** springing line over the sill, of a pointed head */
  readonly springMm: number;
  /** corners of a free shape, from its left edge and its top */
  readonly ringMm: readonly (readonly [number, number])[];
}

export interface TraceryPlan {
  readonly mark: string;
  readonly opening: OpeningPlan;
  /** middle of the opening: from the left edge of the window, and over its sill */
  readonly middleXMm: number;
  readonly middleHeightMm: number;
}

export interface WindowPlan {
  readonly opening: OpeningPlan;
  readonly lights: number;
  /** stone or wood between two lights */
  readonly mullionMm: number;
  /** of one light, where there are several */
  readonly light: OpeningPlan;
  /** heights of the rows, the lowest first; one number: that many equal rows */
  readonly rows: readonly number[] | number;
  readonly tracery: readonly TraceryPlan[];
  /** heights of the bars over the sill */
  readonly barHeightsMm: readonly number[];
}

/**
 * The opening as stored. A pointed head gets the centres of the symmetrical arch of its rise r over
 * its width w: both on the springing line, each (w²/4 + r²) / w from the foot of its own arc (common
 * practice, no source: the apex lies on a circle round the centre through the foot).
 */
export function openingOf(plan: OpeningPlan): Opening {
  const { kind, widthMm, heightMm, springMm } = plan;
  switch (kind) {
    case 'rectangular':
    case 'round-headed':
      return { kind, widthMm, heightMm };
    case 'circular':
      return { kind, diameterMm: widthMm };
    case 'polygon':
      return { kind, ringMm: plan.ringMm.map(([x, y]): [number, number] => [x, y]) };
    case 'pointed': {
      const rise = heightMm - springMm;
      const radius = (widthMm ** 2 / 4 + rise ** 2) / widthMm;
      return {
        kind,
        widthMm,
        heightMm,
        springMm,
        leftCentreXMm: tenth(radius),
        rightCentreXMm: tenth(widthMm - radius),
      };
    }
  }
}

export function drawingOf(plan: WindowPlan): WindowDrawing {
  const opening = openingOf(plan.opening);
  const whole = openingSizeMm(opening);
  const single = plan.lights <= 1;
  const part = single ? opening : openingOf(plan.light);
  const size = openingSizeMm(part);
  const rowHeightsMm = rowsOf(plan.rows, size.heightMm);
  const span = plan.lights * size.widthMm + (plan.lights - 1) * plan.mullionMm;
  const left = (whole.widthMm - span) / 2;
  const lights = Array.from({ length: Math.max(1, plan.lights) }, (_, index) => ({
    letter: letterOf(index),
    xMm: single ? 0 : tenth(left + index * (size.widthMm + plan.mullionMm)),
    yMm: tenth(whole.heightMm - size.heightMm),
    opening: part,
    rowHeightsMm,
  }));
  const bars = [...plan.barHeightsMm]
    .sort((a, b) => a - b)
    .flatMap((height) =>
      lights.map((light) => ({
        yMm: tenth(whole.heightMm - height),
        fromXMm: light.xMm,
        toXMm: tenth(light.xMm + size.widthMm),
      })),
    )
    .map((bar, index) => ({ mark: `bar-${index + 1}`, ...bar }));
  return {
    opening,
    lights,
    tracery: plan.tracery.map((item) => {
      const shape = openingOf(item.opening);
      const box = openingSizeMm(shape);
      return {
        mark: item.mark,
        xMm: tenth(item.middleXMm - box.widthMm / 2),
        yMm: tenth(whole.heightMm - item.middleHeightMm - box.heightMm / 2),
        opening: shape,
      };
    }),
    bars,
  };
}

/** A stored drawing as the plan that makes it; lights that differ become like the first. */
export function planOf(drawing: WindowDrawing): WindowPlan {
  const whole = openingSizeMm(drawing.opening);
  const [first, second] = drawing.lights;
  const size = first ? openingSizeMm(first.opening) : whole;
  const heights = first?.rowHeightsMm ?? [whole.heightMm];
  const equal = heights.every((height) => Math.abs(height - heights[0]!) < 0.11);
  return {
    opening: openingPlan(drawing.opening),
    lights: Math.max(1, drawing.lights.length),
    mullionMm: first && second ? tenth(second.xMm - first.xMm - size.widthMm) : 120,
    light: openingPlan(first?.opening ?? drawing.opening),
    rows: equal ? heights.length : heights,
    tracery: drawing.tracery.map((item) => {
      const box = openingSizeMm(item.opening);
      return {
        mark: item.mark,
        opening: openingPlan(item.opening),
        middleXMm: tenth(item.xMm + box.widthMm / 2),
        middleHeightMm: tenth(whole.heightMm - item.yMm - box.heightMm / 2),
      };
    }),
    barHeightsMm: [...new Set(drawing.bars.map((bar) => tenth(whole.heightMm - bar.yMm)))].sort(
      (a, b) => a - b,
    ),
  };
}

function openingPlan(opening: Opening): OpeningPlan {
  const { widthMm, heightMm } = openingSizeMm(opening);
  return {
    kind: opening.kind,
    widthMm,
    heightMm,
    springMm: opening.kind === 'pointed' ? opening.springMm : tenth(heightMm * 0.7),
    ringMm: opening.kind === 'polygon' ? opening.ringMm : [],
  };
}

/** a, b, … z, aa, ab, … */
export const letterOf = (index: number): string =>
  index < 26
    ? String.fromCharCode(97 + index)
    : `${String.fromCharCode(96 + Math.floor(index / 26))}${String.fromCharCode(97 + (index % 26))}`;

function rowsOf(rows: readonly number[] | number, heightMm: number): number[] {
  if (typeof rows !== 'number') return [...rows];
  const count = Math.max(1, Math.round(rows));
  return Array.from({ length: count }, () => tenth(heightMm / count));
}

/** `+ 0`: no minus before a nought. */
const tenth = (value: number) => Math.round(value * 10) / 10 + 0;
