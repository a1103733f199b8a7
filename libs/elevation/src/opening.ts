/**
 * Shapes of glazed openings, and their outlines.
 *
 * Frame of one opening: x right, y down, origin at the top left of its bounding box, seen from
 * inside. Heights are measured upwards from the sill. All lengths in mm.
 */
import { ringAreaMm2, type XyMm } from '#libs/net';
import { ElevationError } from './elevation-error.js';

export type Opening =
  | { readonly kind: 'rectangular'; readonly widthMm: number; readonly heightMm: number }
  /** A semicircle of the opening's width over straight sides. */
  | { readonly kind: 'round-headed'; readonly widthMm: number; readonly heightMm: number }
  /** Two arcs that spring at `springMm` above the sill and meet at the top. */
  | {
      readonly kind: 'pointed';
      readonly widthMm: number;
      readonly heightMm: number;
      readonly springMm: number;
      /**
       * Centres of the arcs on the springing line, both counted from the LEFT edge. The one further
       * right strikes the arc that rises from the left edge and the other way round; given in the
       * other order they mean the same. Equilateral arch: 0 and the width.
       */
      readonly leftCentreXMm: number;
      readonly rightCentreXMm: number;
    }
  | { readonly kind: 'circular'; readonly diameterMm: number }
  | { readonly kind: 'polygon'; readonly ringMm: readonly XyMm[] };

export interface ArcOptions {
  /** Largest distance between an arc and its chords. */
  readonly chordErrorMm?: number;
}

/** How far the top given may be from where the arcs meet: a tape reads a window to about 1 mm. */
const MEET_TOLERANCE_MM = 1;

/**
 * Outline as a positive ring (clockwise on the drawing), arcs as chords.
 *
 * @throws {ElevationError} as {@link checkOpening}
 */
export function openingRingMm(opening: Opening, { chordErrorMm = 0.1 }: ArcOptions = {}): XyMm[] {
  checkOpening(opening);
  switch (opening.kind) {
    case 'rectangular': {
      const { widthMm: w, heightMm: h } = opening;
      return [
        [0, 0],
        [w, 0],
        [w, h],
        [0, h],
      ];
    }
    case 'round-headed': {
      const { widthMm: w, heightMm: h } = opening;
      const r = w / 2;
      return [...arc([r, r], r, Math.PI, 2 * Math.PI, chordErrorMm), [w, h], [0, h]];
    }
    case 'pointed': {
      const { widthMm: w, heightMm: h, springMm } = opening;
      const spring = h - springMm;
      const { left: leftCentre, right: rightCentre } = arcCentres(opening);
      const apex = pointedApex(opening);
      const apexAngle = (centreX: number) => Math.atan2(-apex.riseMm, apex.xMm - centreX);
      const rising = arc(
        [leftCentre, spring],
        leftCentre,
        -Math.PI,
        apexAngle(leftCentre),
        chordErrorMm,
      );
      const falling = arc(
        [rightCentre, spring],
        w - rightCentre,
        apexAngle(rightCentre),
        0,
        chordErrorMm,
      );
      const sill: XyMm[] =
        springMm > 0
          ? [
              [w, h],
              [0, h],
            ]
          : [];
      // The two arcs share the apex; the height given closes it, within the tolerance checked.
      return [...rising.slice(0, -1), [apex.xMm, 0], ...falling.slice(1), ...sill];
    }
    case 'circular': {
      const r = opening.diameterMm / 2;
      return arc([r, r], r, -Math.PI, Math.PI, chordErrorMm).slice(0, -1);
    }
    case 'polygon': {
      const minX = Math.min(...opening.ringMm.map(([x]) => x));
      const minY = Math.min(...opening.ringMm.map(([, y]) => y));
      const ring = opening.ringMm.map(([x, y]): XyMm => [x - minX, y - minY]);
      return ringAreaMm2(ring) < 0 ? ring.reverse() : ring;
    }
  }
}

/** Area inside the opening, arcs exact (not their chords). */
export function openingAreaMm2(opening: Opening): number {
  checkOpening(opening);
  switch (opening.kind) {
    case 'rectangular':
      return opening.widthMm * opening.heightMm;
    case 'round-headed': {
      const r = opening.widthMm / 2;
      return opening.widthMm * (opening.heightMm - r) + (Math.PI * r * r) / 2;
    }
    case 'pointed': {
      const { widthMm, springMm } = opening;
      const { left, right } = arcCentres(opening);
      const { xMm, riseMm } = pointedApex(opening);
      // Under each arc: sector from the springing to the apex, less or plus the triangle.
      const under = (radius: number, apexFromCentre: number) => {
        const angle = Math.atan2(riseMm, -apexFromCentre);
        return (radius * radius * angle) / 2 + (apexFromCentre * riseMm) / 2;
      };
      return widthMm * springMm + under(left, xMm - left) + under(widthMm - right, right - xMm);
    }
    case 'circular':
      return (Math.PI * opening.diameterMm ** 2) / 4;
    case 'polygon':
      return Math.abs(ringAreaMm2(opening.ringMm));
  }
}

/** Width and height of the bounding box. */
export function openingSizeMm(opening: Opening): { widthMm: number; heightMm: number } {
  switch (opening.kind) {
    case 'circular':
      return { widthMm: opening.diameterMm, heightMm: opening.diameterMm };
    case 'polygon': {
      const xs = opening.ringMm.map(([x]) => x);
      const ys = opening.ringMm.map(([, y]) => y);
      return {
        widthMm: Math.max(...xs) - Math.min(...xs),
        heightMm: Math.max(...ys) - Math.min(...ys),
      };
    }
    default:
      return { widthMm: opening.widthMm, heightMm: opening.heightMm };
  }
}

/**
 * Refuses an opening that cannot be built.
 *
 * @throws {ElevationError} `bad-size` (a length that is not positive, a head higher than the
 *   opening), `arcs-do-not-meet` (a pointed arch whose arcs do not meet at its height, with the
 *   height that fits), `ring-crosses` (a polygon that crosses itself)
 */
export function checkOpening(opening: Opening): void {
  for (const [field, value] of Object.entries(opening)) {
    if (typeof value !== 'number') continue;
    if (!Number.isFinite(value) || value > 100_000) {
      throw new ElevationError('bad-size', `${field} must be a length below 100 m`, field);
    }
    if (value <= 0 && /^(width|height|diameter)/.test(field)) {
      throw new ElevationError('bad-size', `${field} must be more than 0 mm, got ${value}`, field);
    }
  }
  if (opening.kind === 'round-headed' && opening.heightMm < opening.widthMm / 2) {
    const fits = opening.widthMm / 2;
    throw new ElevationError(
      'bad-size',
      `a round head of ${mm(opening.widthMm)} needs a height of ${mm(fits)} or more, got ${mm(opening.heightMm)}`,
      'heightMm',
      fits,
    );
  }
  if (opening.kind === 'pointed') checkPointed(opening);
  if (opening.kind === 'polygon') checkPolygon(opening.ringMm);
}

type Pointed = Extract<Opening, { kind: 'pointed' }>;

/** Centres of the arcs that rise from the left and the right edge. */
function arcCentres({ leftCentreXMm, rightCentreXMm }: Pointed): { left: number; right: number } {
  return {
    left: Math.max(leftCentreXMm, rightCentreXMm),
    right: Math.min(leftCentreXMm, rightCentreXMm),
  };
}

/** Where the two arcs meet: x from the left edge, rise above the springing line. */
function pointedApex(opening: Pointed): { xMm: number; riseMm: number } {
  const { widthMm } = opening;
  const { left: a, right: b } = arcCentres(opening);
  const ra = a;
  const rb = widthMm - b;
  // (x-a)² + y² = ra² and (x-b)² + y² = rb².
  const xMm = a === b ? a : (ra * ra - rb * rb - a * a + b * b) / (2 * (b - a));
  return { xMm, riseMm: Math.sqrt(Math.max(0, ra * ra - (xMm - a) ** 2)) };
}

function checkPointed(opening: Pointed): void {
  const { widthMm, heightMm, springMm } = opening;
  if (springMm < 0 || springMm >= heightMm) {
    throw new ElevationError(
      'bad-size',
      `the springing line must lie between the sill and the top (${mm(heightMm)}), got ${mm(springMm)}`,
      'springMm',
    );
  }
  const { left, right } = arcCentres(opening);
  const { xMm, riseMm } = pointedApex(opening);
  if (
    left <= 0 ||
    right >= widthMm ||
    !(xMm > 0 && xMm < widthMm) ||
    riseMm === 0 ||
    left === right
  ) {
    throw new ElevationError(
      'arcs-do-not-meet',
      'with these centres the two arcs make no point: the centre of each arc lies beyond the middle ' +
        `(for an equilateral arch on the opposite edge: 0 and ${mm(widthMm)})`,
      'leftCentreXMm',
    );
  }
  const fits = springMm + riseMm;
  if (Math.abs(fits - heightMm) > MEET_TOLERANCE_MM) {
    throw new ElevationError(
      'arcs-do-not-meet',
      `the arcs meet ${mm(fits)} above the sill, not at ${mm(heightMm)}: a height of ${mm(fits)} ` +
        `or a springing line at ${mm(heightMm - riseMm)} would fit`,
      'heightMm',
      Math.round(fits * 10) / 10,
    );
  }
}

function checkPolygon(ring: readonly XyMm[]): void {
  if (ring.length < 3 || ring.some((point) => !point.every(Number.isFinite))) {
    throw new ElevationError('bad-size', 'a polygon needs three corners or more', 'ringMm');
  }
  const n = ring.length;
  const cross = (a: XyMm, b: XyMm, c: XyMm) =>
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
  for (let i = 0; i < n; i++) {
    for (let j = i + 2; j < n; j++) {
      if (i === 0 && j === n - 1) continue;
      const [a, b, c, d] = [ring[i]!, ring[(i + 1) % n]!, ring[j]!, ring[(j + 1) % n]!];
      if (cross(a, b, c) * cross(a, b, d) < 0 && cross(c, d, a) * cross(c, d, b) < 0) {
        throw new ElevationError(
          'ring-crosses',
          `the polygon crosses itself between corners ${i + 1} and ${j + 1}`,
          'ringMm',
        );
      }
    }
  }
  if (Math.abs(ringAreaMm2(ring)) < 1) {
    throw new ElevationError('bad-size', 'the polygon encloses no area', 'ringMm');
  }
}

/** Points on an arc from one angle to another (y down), ends included. */
function arc(centre: XyMm, radius: number, from: number, to: number, errorMm: number): XyMm[] {
  const step = 2 * Math.acos(Math.max(0, 1 - errorMm / radius));
  // In fours, so that a circle and a half circle have a vertex at each side and at the top.
  const parts = 4 * Math.max(1, Math.ceil(Math.abs(to - from) / step / 4));
  return Array.from({ length: parts + 1 }, (_, i): XyMm => {
    const angle = from + ((to - from) * i) / parts;
    return [centre[0] + radius * Math.cos(angle), centre[1] + radius * Math.sin(angle)];
  });
}

function mm(value: number): string {
  return `${Math.round(value * 10) / 10} mm`;
}
