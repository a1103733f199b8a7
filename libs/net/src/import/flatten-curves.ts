/** Curves as chords. All lengths in the caller's unit. */
import type { XyMm } from '../net.js';
import { CHORD_TURN_RAD } from './raw-line.js';

/** Points after the first, the last included. */
export function cubicChords(
  p0: XyMm,
  c1: XyMm,
  c2: XyMm,
  p3: XyMm,
  tolerance: number,
): readonly XyMm[] {
  // Wang's formula: chords of equal parameter that leave the curve by no more than the tolerance
  // (Goldman, Pyramid Algorithms, section 5.6.3; from memory).
  const bend = Math.max(
    Math.hypot(p0[0] - 2 * c1[0] + c2[0], p0[1] - 2 * c1[1] + c2[1]),
    Math.hypot(c1[0] - 2 * c2[0] + p3[0], c1[1] - 2 * c2[1] + p3[1]),
  );
  const turn = turnBetween(p0, c1, c2) + turnBetween(c1, c2, p3);
  const parts = clampParts(Math.max(Math.sqrt((0.75 * bend) / tolerance), turn / CHORD_TURN_RAD));
  return Array.from({ length: parts }, (_, i): XyMm => {
    if (i === parts - 1) return p3;
    const t = (i + 1) / parts;
    const u = 1 - t;
    const at = (k: 0 | 1) =>
      u * u * u * p0[k] + 3 * u * u * t * c1[k] + 3 * u * t * t * c2[k] + t * t * t * p3[k];
    return [at(0), at(1)];
  });
}

/**
 * Chords of an ellipse's arc, both ends included. `place(c, s)` is the point at the angle whose
 * cosine and sine are given.
 */
export function arcChords(
  radius: number,
  startRad: number,
  sweepRad: number,
  tolerance: number,
  place: (cos: number, sin: number) => XyMm,
): readonly XyMm[] {
  const step = Math.min(
    2 * Math.acos(Math.max(0, 1 - tolerance / Math.max(radius, tolerance))),
    CHORD_TURN_RAD,
  );
  const parts = clampParts(Math.abs(sweepRad) / step);
  return Array.from({ length: parts + 1 }, (_, i) => {
    const angle = startRad + (sweepRad * i) / parts;
    return place(Math.cos(angle), Math.sin(angle));
  });
}

/**
 * Points after the first of an SVG arc (rotation in degrees, as the path says it).
 *
 * Source: SVG 2, appendix B.2.4 and B.2.5 (conversion from endpoint to centre, radii too small).
 */
export function svgArcChords(
  [x1, y1]: XyMm,
  [rx0, ry0, rotationDeg, isLarge, isSweep]: readonly [number, number, number, number, number],
  [x2, y2]: XyMm,
  tolerance: number,
): readonly XyMm[] {
  let rx = Math.abs(rx0);
  let ry = Math.abs(ry0);
  if (rx === 0 || ry === 0) return [[x2, y2]];
  const phi = (rotationDeg * Math.PI) / 180;
  const [cos, sin] = [Math.cos(phi), Math.sin(phi)];
  const hx = (x1 - x2) / 2;
  const hy = (y1 - y2) / 2;
  const px = cos * hx + sin * hy;
  const py = -sin * hx + cos * hy;
  const lambda = (px / rx) ** 2 + (py / ry) ** 2;
  if (lambda === 0) return [];
  if (lambda > 1) {
    rx *= Math.sqrt(lambda);
    ry *= Math.sqrt(lambda);
  }
  const under = (rx * ry) ** 2 / ((rx * py) ** 2 + (ry * px) ** 2) - 1;
  const root = (isLarge === isSweep ? -1 : 1) * Math.sqrt(Math.max(0, under));
  const qx = (root * rx * py) / ry;
  const qy = (-root * ry * px) / rx;
  const cx = cos * qx - sin * qy + (x1 + x2) / 2;
  const cy = sin * qx + cos * qy + (y1 + y2) / 2;
  const start = Math.atan2((py - qy) / ry, (px - qx) / rx);
  let sweep = Math.atan2((-py - qy) / ry, (-px - qx) / rx) - start;
  if (isSweep === 0 && sweep > 0) sweep -= 2 * Math.PI;
  if (isSweep === 1 && sweep < 0) sweep += 2 * Math.PI;
  const chords = arcChords(Math.max(rx, ry), start, sweep, tolerance, (c, s) => [
    cx + rx * c * cos - ry * s * sin,
    cy + rx * c * sin + ry * s * cos,
  ]);
  return [...chords.slice(1, -1), [x2, y2]];
}

/** No curve of a cartoon needs more; a hostile one would ask for millions. */
const PARTS_MAX = 5000;

function clampParts(parts: number): number {
  return Math.min(PARTS_MAX, Math.max(1, Math.ceil(parts - 1e-9)));
}

function turnBetween(a: XyMm, b: XyMm, c: XyMm): number {
  const first = Math.atan2(b[1] - a[1], b[0] - a[0]);
  const second = Math.atan2(c[1] - b[1], c[0] - b[0]);
  const turn = Math.abs(first - second) % (2 * Math.PI);
  return Math.min(turn, 2 * Math.PI - turn);
}
