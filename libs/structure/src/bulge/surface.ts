/**
 * Readings of how far a panel stands out → a smooth surface, with the noise of the readings carried
 * through to whatever is read off it.
 */
import { boundsMm, type XyMm } from '#libs/net';
import { type SplineAxis, splineCount } from './bspline.js';
import {
  addTo,
  type BandMatrix,
  emptyBand,
  factored,
  forward,
  logDeterminant,
  solved,
} from './cholesky.js';
import { energyOf, FREE, type Smoothness } from './energy.js';
import { leastAt } from './least-at.js';
import { applied, dot, heightForm, spread } from './linear-form.js';
import { refuseReadings as refuse } from './refuse-readings.js';

/** x right, y down in the panel's frame, then how far it stands out; mm. */
export type Reading = readonly [xMm: number, yMm: number, outMm: number];

export interface BulgeSurface {
  readonly x: SplineAxis;
  readonly y: SplineAxis;
  /** One a spline pair, y fastest. */
  readonly weights: Float64Array;
  /** Factor of the inverse covariance of the weights. */
  readonly factor: BandMatrix;
  /** As stated, and as the readings themselves scatter about the surface when that is more. */
  readonly noiseMm: number;
  readonly statedNoiseMm: number;
  readonly outlineMm: readonly XyMm[];
  readonly readings: readonly Reading[];
  /** Root mean square of reading less surface. */
  readonly rmsMm: number;
}

export const READINGS_MIN = 9;
export const READINGS_MAX = 5000;
/** Powers of ten between which the stiffness is looked for; per mm² of bending, mm⁴ of twist. */
const LOG_STIFFNESS: Readonly<Record<Smoothness, readonly [number, number]>> = {
  bend: [-3, 9],
  twist: [0, 13],
};
const CELLS_MOST = 18;
const CELLS_LEAST = 6;
/** Readings may lie this far beyond the outline: on the lead, or on a datum that runs on. */
const BEYOND_MM = 150;

/**
 * The surface that bends least for how well it keeps to the readings: bicubic splines under the
 * bending energy of a thin plate; how much bending is believed is what makes the readings most
 * likely, given their noise (restricted maximum likelihood).
 *
 * A thin-plate spline with a knot a reading gives the same surface on few readings (held against
 * SciPy in test/conformance) but costs n³; this costs the same for 60 readings and 5,000.
 * Source: Wahba, Spline Models for Observational Data (from memory): the smoothing spline as the mean of
 * a random surface, its covariance as the error.
 *
 * @param noiseMm standard deviation of one reading: two of three readings keep within it
 * @throws StructureError `bad-readings`
 */
export function bulgeSurface(
  readings: readonly Reading[],
  { outlineMm, noiseMm }: { outlineMm: readonly XyMm[]; noiseMm: number },
): BulgeSurface {
  checkReadings(readings, outlineMm, noiseMm);
  const { x, y } = axesOver(readings, outlineMm);
  const n = splineCount(x) * splineCount(y);
  const width = 3 * splineCount(y) + 3;
  const data = emptyBand(n, width);
  const pull = new Float64Array(n);
  let squares = 0;
  for (const [xMm, yMm, outMm] of readings) {
    const { at, of } = heightForm(x, y, [xMm, yMm]);
    for (let i = 0; i < 16; i++) {
      for (let j = 0; j <= i; j++) addTo(data, at[i]!, at[j]!, of[i]! * of[j]!);
      pull[at[i]!]! += of[i]! * outMm;
    }
    squares += outMm ** 2;
  }
  const restOf = (weights: Float64Array) =>
    readings.map(([xMm, yMm, outMm]) => outMm - applied(heightForm(x, y, [xMm, yMm]), weights));
  const fitFor = (kind: Smoothness) => {
    const energy = energyOf(kind, x, y, n, width);
    const fitAt = (stiffness: number, sigma: number) => {
      const matrix = emptyBand(n, width);
      for (let i = 0; i < matrix.band.length; i++) {
        matrix.band[i] = data.band[i]! / sigma ** 2 + stiffness * energy.band[i]!;
      }
      const factor = factored(matrix);
      if (factor === undefined) return undefined;
      const b = pull.map((value) => value / sigma ** 2);
      const half = forward(factor, b);
      const misfit = squares / sigma ** 2 - dot(half, half);
      const cost = misfit + logDeterminant(factor) - (n - FREE[kind]) * Math.log(stiffness);
      return { factor, weights: solved(factor, b), cost };
    };
    const best = (sigma: number) => {
      const cost = (log: number) => fitAt(10 ** log, sigma)?.cost ?? Number.POSITIVE_INFINITY;
      const [from, to] = LOG_STIFFNESS[kind];
      const fit = fitAt(10 ** leastAt(cost, from, to), sigma);
      if (fit === undefined) return undefined;
      const rest = restOf(fit.weights);
      const rss = dot(rest, rest);
      const free = readings.length - effectiveCount(fit.factor, x, y, readings, sigma);
      return { ...fit, sigma, rss, free, crossed: rss / Math.max(1e-9, free) ** 2 };
    };
    let fit = best(noiseMm);
    for (let round = 0; round < 4 && fit !== undefined; round++) {
      const seen = Math.sqrt(fit.rss / Math.max(1, fit.free));
      // Beyond what chance makes of so many readings: three standard deviations of a spread.
      if (fit.free < 3 || seen / fit.sigma < 1 + 3 / Math.sqrt(2 * fit.free)) break;
      fit = best(seen);
    }
    return fit;
  };
  const fits = (['bend', 'twist'] as const).flatMap((kind) => fitFor(kind) ?? []);
  const fit = fits.sort((a, b) => a.crossed - b.crossed)[0];
  if (fit === undefined) {
    refuse(
      'the readings lie so that no surface is told apart from another; spread them over the panel',
    );
  }
  return {
    x,
    y,
    weights: fit.weights,
    factor: fit.factor,
    noiseMm: fit.sigma,
    statedNoiseMm: noiseMm,
    outlineMm,
    readings,
    rmsMm: Math.sqrt(fit.rss / readings.length),
  };
}

/** @throws StructureError */
function checkReadings(
  readings: readonly Reading[],
  outlineMm: readonly XyMm[],
  noiseMm: number,
): void {
  if (!(noiseMm > 0 && noiseMm <= 50)) {
    refuse('say how far a reading may be off, more than 0 and at most 50 mm', 'noiseMm');
  }
  if (readings.length < READINGS_MIN) {
    refuse(`give at least ${READINGS_MIN} readings, there are ${readings.length}`);
  }
  if (readings.length > READINGS_MAX) refuse(`give at most ${READINGS_MAX} readings`);
  const box = boundsMm(outlineMm);
  for (const [i, [x, y, out]] of readings.entries()) {
    if (![x, y, out].every(Number.isFinite)) refuse(`reading ${i + 1} is no three numbers`);
    const beyond = Math.max(box.minX - x, x - box.maxX, box.minY - y, y - box.maxY);
    if (beyond > BEYOND_MM) {
      refuse(
        `reading ${i + 1} lies ${Math.round(beyond)} mm beyond the panel; give x to the right and y down from its top left corner, in mm`,
      );
    }
    if (Math.abs(out) > 1000) refuse(`reading ${i + 1} stands out by more than a metre`);
  }
  const spread = boundsMm(readings.map(([x, y]) => [x, y] as const));
  if (
    spread.maxX - spread.minX < (box.maxX - box.minX) / 2 ||
    spread.maxY - spread.minY < (box.maxY - box.minY) / 2
  ) {
    refuse('the readings cover less than half of the panel; take some near every edge');
  }
}

function axesOver(readings: readonly Reading[], outlineMm: readonly XyMm[]) {
  const box = boundsMm([...outlineMm, ...readings.map(([x, y]) => [x, y] as const)]);
  const [width, height] = [box.maxX - box.minX, box.maxY - box.minY];
  const cellMm = Math.max(width, height) / CELLS_MOST;
  const axis = (fromMm: number, length: number): SplineAxis => {
    const cells = Math.min(CELLS_MOST, Math.max(CELLS_LEAST, Math.ceil(length / cellMm)));
    return { fromMm, cells, cellMm: length / cells };
  };
  return { x: axis(box.minX, width), y: axis(box.minY, height) };
}

/** Readings that the surface spends on its shape: the trace of readings → surface at readings. */
function effectiveCount(
  factor: BandMatrix,
  x: SplineAxis,
  y: SplineAxis,
  readings: readonly Reading[],
  sigma: number,
): number {
  // Of many readings a sample says the same.
  const step = Math.max(1, Math.floor(readings.length / 400));
  let sum = 0;
  let counted = 0;
  for (let i = 0; i < readings.length; i += step) {
    const [xMm, yMm] = readings[i]!;
    const half = forward(factor, spread(heightForm(x, y, [xMm, yMm]), factor.n));
    sum += dot(half, half) / sigma ** 2;
    counted += 1;
  }
  return (sum / counted) * readings.length;
}
