/** Fits `imageFromPanel` to points tapped on a photograph and on the drawing. */
import {
  applyHomography,
  type Homography,
  invertHomography,
  localScale,
  scaled,
  type Xy,
} from './homography.js';
import { RegisterError } from './register-error.js';
import { smallestEigenvector, solveSymmetric } from './small-matrices.js';

export interface PointPair {
  /** 'J12' or what the person called it; shown in messages. */
  readonly name: string;
  readonly panelMm: Xy;
  readonly imagePx: Xy;
}

export interface Registration {
  readonly imageFromPanel: Homography;
  readonly panelFromImage: Homography;
  /** For each pair: how far the fit puts the image point from the panel point, in panel mm. */
  readonly residuals: readonly { readonly name: string; readonly residualMm: number }[];
  readonly rmsMm: number;
  /** With exactly four pairs the fit passes through all of them: no error can be seen. */
  readonly isChecked: boolean;
  readonly worst: { readonly name: string; readonly residualMm: number } | null;
  /** Image pixels in one millimetre at the middle of the points. */
  readonly scalePxPerMm: number;
}

/** Points nearer than this share of the whole spread count as one place. */
const COINCIDENT_RATIO = 1e-3;
/** A triangle flatter than this (height over longest side) counts as a line: about 0.6°. */
const COLLINEAR_RATIO = 0.01;

/**
 * Normalised direct linear transform, then Levenberg-Marquardt on the reprojection error in pixels.
 *
 * Source: Hartley and Zisserman, Multiple View Geometry, 2nd ed., algorithm 4.2 and section 4.5
 * (from memory).
 *
 * @throws {RegisterError} `too-few-points`, `not-finite`, `coincident-points`, `collinear-points`
 *   (no four points in general position), `mirrored` (the pairs turn different ways round: the
 *   image shows the other face, or two points are swapped), `degenerate`
 */
export function fitHomography(pairs: readonly PointPair[]): Registration {
  checkPairs(pairs);
  const from = pairs.map((pair) => pair.panelMm);
  const to = pairs.map((pair) => pair.imagePx);
  const imageFromPanel = refine(directFit(from, to), from, to);
  const signs = from.map(([x, y]) => Math.sign(imageFromPanel[6] * x + imageFromPanel[7] * y + 1));
  const determinant = det3(imageFromPanel);
  if (!imageFromPanel.every(Number.isFinite) || Math.abs(determinant) < 1e-14) {
    throw new RegisterError('degenerate', 'these points do not fix the view: take others');
  }
  if (signs.some((sign) => sign !== signs[0])) {
    throw new RegisterError(
      'degenerate',
      'no camera sees these points in this order: two of them are probably swapped',
    );
  }
  if (determinant < 0) {
    throw new RegisterError(
      'mirrored',
      'the points run the other way round in the photograph: it shows the other face, or two ' +
        'points are swapped',
    );
  }
  const panelFromImage = invertHomography(imageFromPanel);
  const residuals = pairs.map(({ name, panelMm, imagePx }) => {
    const [x, y] = applyHomography(panelFromImage, imagePx);
    return { name, residualMm: Math.hypot(x - panelMm[0], y - panelMm[1]) };
  });
  const isChecked = pairs.length > 4;
  const middle: Xy = [mean(from.map(([x]) => x)), mean(from.map(([, y]) => y))];
  return {
    imageFromPanel,
    panelFromImage,
    residuals,
    rmsMm: rootMeanSquare(residuals.map(({ residualMm }) => residualMm)),
    isChecked,
    worst: isChecked ? residuals.reduce((a, b) => (b.residualMm > a.residualMm ? b : a)) : null,
    scalePxPerMm: localScale(imageFromPanel, middle),
  };
}

/** Square root of the mean of the squares. */
export function rootMeanSquare(distances: readonly number[]): number {
  if (distances.length === 0) return 0;
  return Math.sqrt(distances.reduce((sum, d) => sum + d * d, 0) / distances.length);
}

function checkPairs(pairs: readonly PointPair[]): void {
  if (pairs.length < 4) {
    throw new RegisterError(
      'too-few-points',
      `four points or more are needed, got ${pairs.length}: tap more joints`,
    );
  }
  for (const { name, panelMm, imagePx } of pairs) {
    if (![...panelMm, ...imagePx].every(Number.isFinite)) {
      throw new RegisterError('not-finite', `point ${name} has a coordinate that is not a number`);
    }
  }
  for (const [where, points] of [
    ['on the drawing', pairs.map((pair) => pair.panelMm)],
    ['on the photograph', pairs.map((pair) => pair.imagePx)],
  ] as const) {
    const spread = Math.max(...points.flatMap((p) => points.map((q) => distance(p, q))));
    points.forEach((p, i) => {
      points.forEach((q, j) => {
        if (j > i && distance(p, q) <= COINCIDENT_RATIO * spread) {
          throw new RegisterError(
            'coincident-points',
            `points ${pairs[i]!.name} and ${pairs[j]!.name} are at the same place ${where}`,
          );
        }
      });
    });
    if (!hasFourInGeneralPosition(points)) {
      throw new RegisterError(
        'collinear-points',
        `${where}, three of any four points lie in one line: take points nearer to the four corners`,
      );
    }
  }
}

/** Is there a set of four of which no three lie in a line? At most C(n, 4) sets are tried. */
function hasFourInGeneralPosition(points: readonly Xy[]): boolean {
  const n = Math.min(points.length, 40);
  const isFlat = (i: number, j: number, k: number) => {
    const [a, b, c] = [points[i]!, points[j]!, points[k]!];
    const longest = Math.max(distance(a, b), distance(b, c), distance(a, c));
    const area = Math.abs((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]));
    return area <= COLLINEAR_RATIO * longest * longest;
  };
  for (let i = 0; i < n; i++) {
    for (let j = i + 1; j < n; j++) {
      for (let k = j + 1; k < n; k++) {
        if (isFlat(i, j, k)) continue;
        for (let l = k + 1; l < n; l++) {
          if (!isFlat(i, j, l) && !isFlat(i, k, l) && !isFlat(j, k, l)) return true;
        }
      }
    }
  }
  return false;
}

/** Direct linear transform on points moved to their centroid and scaled to a mean distance of √2. */
function directFit(from: readonly Xy[], to: readonly Xy[]): Homography {
  const source = normaliser(from);
  const target = normaliser(to);
  const normal = new Float64Array(81);
  const addRow = (row: readonly number[]) => {
    for (let i = 0; i < 9; i++) {
      for (let j = 0; j < 9; j++) normal[9 * i + j]! += row[i]! * row[j]!;
    }
  };
  from.forEach((p, i) => {
    const x = (p[0] - source.x) * source.scale;
    const y = (p[1] - source.y) * source.scale;
    const u = (to[i]![0] - target.x) * target.scale;
    const v = (to[i]![1] - target.y) * target.scale;
    addRow([x, y, 1, 0, 0, 0, -u * x, -u * y, -u]);
    addRow([0, 0, 0, x, y, 1, -v * x, -v * y, -v]);
  });
  const h = smallestEigenvector(normal, 9);
  // target⁻¹ · h · source, written out.
  const rows = [0, 3, 6].map((r) => {
    const [a, b, c] = [h[r]! * source.scale, h[r + 1]! * source.scale, h[r + 2]!];
    return [a, b, c - a * source.x - b * source.y];
  });
  const [first, second, third] = rows as [number[], number[], number[]];
  return scaled([
    ...first.map((value, k) => value / target.scale + target.x * third[k]!),
    ...second.map((value, k) => value / target.scale + target.y * third[k]!),
    ...third,
  ]);
}

function normaliser(points: readonly Xy[]): { x: number; y: number; scale: number } {
  const x = mean(points.map((p) => p[0]));
  const y = mean(points.map((p) => p[1]));
  const reach = mean(points.map((p) => Math.hypot(p[0] - x, p[1] - y)));
  return { x, y, scale: Math.SQRT2 / reach };
}

/** Levenberg-Marquardt on eight numbers; stops when a step gains nothing. */
function refine(start: Homography, from: readonly Xy[], to: readonly Xy[]): Homography {
  let h = start;
  let error = squaredError(h, from, to);
  let damping = 1e-3;
  for (let step = 0; step < 50 && damping < 1e12; step++) {
    const normal = new Float64Array(64);
    const gradient = new Float64Array(8);
    from.forEach(([x, y], i) => {
      const w = h[6] * x + h[7] * y + 1;
      const u = (h[0] * x + h[1] * y + h[2]) / w;
      const v = (h[3] * x + h[4] * y + h[5]) / w;
      const rows = [
        { row: [x, y, 1, 0, 0, 0, -u * x, -u * y], off: to[i]![0] - u },
        { row: [0, 0, 0, x, y, 1, -v * x, -v * y], off: to[i]![1] - v },
      ];
      for (const { row, off } of rows) {
        for (let a = 0; a < 8; a++) {
          gradient[a]! += (row[a]! / w) * off;
          for (let b = 0; b < 8; b++) normal[8 * a + b]! += (row[a]! / w) * (row[b]! / w);
        }
      }
    });
    const damped = Float64Array.from(normal);
    for (let a = 0; a < 8; a++) damped[9 * a]! *= 1 + damping;
    const change = solveSymmetric(damped, gradient);
    if (change === null) break;
    const next = h.map((value, a) => (a < 8 ? value + change[a]! : 1)) as unknown as Homography;
    const nextError = squaredError(next, from, to);
    if (nextError < error) {
      const gain = error - nextError;
      h = next;
      error = nextError;
      damping /= 10;
      if (gain <= 1e-15 * error) break;
    } else {
      damping *= 10;
    }
  }
  return h;
}

function squaredError(h: Homography, from: readonly Xy[], to: readonly Xy[]): number {
  let sum = 0;
  from.forEach((p, i) => {
    const [u, v] = applyHomography(h, p);
    sum += (u - to[i]![0]) ** 2 + (v - to[i]![1]) ** 2;
  });
  return Number.isFinite(sum) ? sum : Infinity;
}

function det3([a, b, c, d, e, f, g, h, i]: Homography): number {
  return a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
}

function distance(p: Xy, q: Xy): number {
  return Math.hypot(p[0] - q[0], p[1] - q[1]);
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
