/** Two surveys of one panel: where it has moved by more than the readings can tell. */
import type { XyMm } from '#libs/net';
import { placesInside } from './bulge-figures.js';
import type { Figure, Heights } from './reference.js';

export interface BulgeChange {
  /** Where the change is largest against its noise; positive: farther inwards than before. */
  readonly atMm: XyMm;
  readonly changeMm: Figure;
  readonly isMoreThanNoise: boolean;
  /** Share of the panel that moved by more than the noise, 0-1. */
  readonly movedRatio: number;
  readonly sentence: string;
}

/**
 * A change at one place counts from this many standard deviations: a panel has some twenty places that
 * move on their own, and of a hundred panels that did not move no more than five shall be told so.
 */
const TELLING_SIGMAS = 3;
const STEPS = 24;

export function bulgeChange(before: Heights, after: Heights): BulgeChange {
  const places = placesInside(after.surface.outlineMm, STEPS);
  let most = { place: places[0]!, value: 0, sigma: Number.POSITIVE_INFINITY };
  let moved = 0;
  for (const place of places) {
    const value = after.heightMm(place) - before.heightMm(place);
    const sigma = Math.hypot(after.sigmaOf(after.form(place)), before.sigmaOf(before.form(place)));
    if (Math.abs(value) > TELLING_SIGMAS * sigma) moved += 1;
    if (Math.abs(value) / sigma > Math.abs(most.value) / most.sigma) most = { place, value, sigma };
  }
  const { place: atMm, value, sigma } = most;
  const isMoreThanNoise = moved > 0;
  const movedRatio = moved / places.length;
  return {
    atMm,
    changeMm: { value, sigma },
    isMoreThanNoise,
    movedRatio,
    sentence: isMoreThanNoise
      ? `moved ${Math.abs(value).toFixed(1)} mm ± ${(2 * sigma).toFixed(1)} ${value > 0 ? 'inwards' : 'outwards'}, ${Math.round(movedRatio * 100)} % of the panel by more than the noise`
      : 'no change that the readings can tell',
  };
}
