/**
 * Face widths grouped into width classes.
 *
 * Peaks of a length-weighted kernel density are the classes; a mixture of normal curves, with a
 * thin even background for widths that belong nowhere, gives each lead the probability of its
 * class. A rubbing never tells the profile: a class is a measured width, not a catalogue size.
 * Method: kernel density and normal mixture, textbook; the constants below are ours, no source.
 */
export interface MeasuredWidth {
  readonly widthMm: number;
  readonly lengthMm: number;
  readonly spreadMm: number;
}

export interface WidthClasses {
  /** Narrowest first. Width is the length-weighted mean of the members, to 0.1 mm. */
  readonly classes: readonly {
    widthMm: number;
    lengthMm: number;
    leads: number;
    /** Set on classes of copper foil; came has none. */
    kind?: 'foil';
  }[];
  /** For each input its class and the probability that it belongs there (0-1). */
  readonly of: readonly { classIndex: number; p: number }[];
}

/** Trade sizes are 0.79 mm apart or more (1/32 in), so closer peaks are scatter of one class. */
const MIN_APART_MM = 0.7;
const BANDWIDTH_MM = 0.22;
const GRID_MM = 0.02;
/** Two peaks are one class unless the density between them falls below this share of the lower. */
const VALLEY_RATIO = 0.8;
const MIN_SIGMA_MM = 0.2;
/** Density of a width from nowhere, per mm. */
const BACKGROUND = 0.01;

export function widthClasses(widths: readonly MeasuredWidth[]): WidthClasses {
  if (widths.length === 0) return { classes: [], of: [] };
  const centres = peaks(widths);
  let of = widths.map(({ widthMm }) => nearest(centres, widthMm));
  const members = (k: number) => widths.filter((_, i) => of[i] === k);
  const means = centres.map((centre, k) => weighted(members(k), (w) => w.widthMm) ?? centre);
  of = widths.map(({ widthMm }) => nearest(means, widthMm));
  const kept = means.map((_, k) => k).filter((k) => of.includes(k));
  const total = widths.reduce((sum, w) => sum + w.lengthMm, 0);
  const models = kept.map((k) => {
    const mine = members(k);
    const mean = weighted(mine, (w) => w.widthMm)!;
    const variance = weighted(mine, (w) => (w.widthMm - mean) ** 2)!;
    const lengthMm = mine.reduce((sum, w) => sum + w.lengthMm, 0);
    return {
      mean,
      sigma: Math.max(MIN_SIGMA_MM, Math.sqrt(variance)),
      share: lengthMm / total,
      lengthMm,
      leads: mine.length,
    };
  });
  return {
    classes: models.map(({ mean, lengthMm, leads }) => ({
      widthMm: Math.round(mean * 10) / 10,
      lengthMm: Math.round(lengthMm * 10) / 10,
      leads,
    })),
    of: widths.map(({ widthMm, spreadMm }, i) => {
      const density = models.map(({ mean, sigma, share }) => {
        // The lead's own unevenness, taken as a third of itself, blurs every class.
        const s = Math.hypot(sigma, spreadMm / 3);
        return (
          ((share / s) * Math.exp(-(((widthMm - mean) / s) ** 2) / 2)) / Math.sqrt(2 * Math.PI)
        );
      });
      const classIndex = kept.indexOf(of[i]!);
      const all = density.reduce((sum, d) => sum + d, BACKGROUND);
      return { classIndex, p: Math.round((density[classIndex]! / all) * 1000) / 1000 };
    }),
  };
}

function peaks(widths: readonly MeasuredWidth[]): number[] {
  const low = Math.min(...widths.map((w) => w.widthMm)) - 2 * BANDWIDTH_MM;
  const high = Math.max(...widths.map((w) => w.widthMm)) + 2 * BANDWIDTH_MM;
  const count = Math.ceil((high - low) / GRID_MM) + 1;
  const density = new Float64Array(count);
  for (const { widthMm, lengthMm } of widths) {
    const first = Math.max(0, Math.floor((widthMm - 4 * BANDWIDTH_MM - low) / GRID_MM));
    const last = Math.min(count - 1, Math.ceil((widthMm + 4 * BANDWIDTH_MM - low) / GRID_MM));
    for (let i = first; i <= last; i++) {
      const z = (low + i * GRID_MM - widthMm) / BANDWIDTH_MM;
      density[i]! += lengthMm * Math.exp((-z * z) / 2);
    }
  }
  const tops: number[] = [];
  for (let i = 1; i < count - 1; i++) {
    if (density[i]! > density[i - 1]! && density[i]! >= density[i + 1]!) tops.push(i);
  }
  const apart: number[] = [];
  for (const top of tops) {
    const before = apart.at(-1);
    if (before !== undefined) {
      const lower = Math.min(density[before]!, density[top]!);
      let valley = Infinity;
      for (let i = before; i <= top; i++) valley = Math.min(valley, density[i]!);
      if (valley > VALLEY_RATIO * lower || (top - before) * GRID_MM < MIN_APART_MM) {
        if (density[top]! > density[before]!) apart[apart.length - 1] = top;
        continue;
      }
    }
    apart.push(top);
  }
  return apart.map((i) => low + i * GRID_MM);
}

function nearest(centres: readonly number[], value: number): number {
  let best = 0;
  centres.forEach((centre, k) => {
    if (Math.abs(centre - value) < Math.abs(centres[best]! - value)) best = k;
  });
  return best;
}

function weighted(
  widths: readonly MeasuredWidth[],
  value: (width: MeasuredWidth) => number,
): number | undefined {
  const weight = widths.reduce((sum, w) => sum + w.lengthMm, 0);
  if (weight === 0) return undefined;
  return widths.reduce((sum, w) => sum + w.lengthMm * value(w), 0) / weight;
}
