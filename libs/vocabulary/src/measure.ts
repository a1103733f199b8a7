/** What a finding's drawing tells: count, length, area and share of the piece, in panel millimetres. */
import {
  intersectRings,
  polylineLengthMm,
  ringAreaMm2,
  ringsAreaMm2,
  unionRings,
  type XyMm,
} from '#libs/net';
import { type FindingTerm, type GeometryKind, type Quantity } from './terms.js';
import { VocabularyError } from './vocabulary-error.js';

/** As stored: points, one polyline, or one ring (closing edge implied), panel mm. */
export interface FindingGeometry {
  readonly kind: GeometryKind;
  readonly xyMm: readonly XyMm[];
}

export interface Measure {
  readonly countN: number | null;
  readonly lengthMm: number | null;
  /** As drawn, also where it reaches beyond the piece. */
  readonly areaMm2: number | null;
  /** Share of the piece's area, 0-1; null without a piece or for a term that is not a share. */
  readonly shareRatio: number | null;
}

/**
 * Measures one finding.
 *
 * @param pieceRings rings of what the share is taken of (positive outsides, negative holes); sight
 *   size when the glass that can be seen is meant
 * @throws {VocabularyError} `wrong-geometry` when the term is not drawn that way, `bad-geometry`
 *   when there are too few points, or one is not a number
 */
export function measureFinding(
  term: FindingTerm,
  geometry: FindingGeometry,
  pieceRings?: readonly (readonly XyMm[])[],
): Measure {
  checkGeometry(term, geometry);
  const { kind, xyMm } = geometry;
  const wants = (quantity: Quantity) => term.quantities.includes(quantity);
  const ring = kind === 'area' ? positive(xyMm) : null;
  return {
    countN: wants('count') ? (kind === 'point' ? xyMm.length : 1) : null,
    lengthMm: kind === 'line' ? round(polylineLengthMm(xyMm), 2) : null,
    areaMm2: ring === null ? null : round(ringAreaMm2(ring), 2),
    shareRatio:
      ring !== null && pieceRings !== undefined && wants('share')
        ? shareOf([ring], pieceRings)
        : null,
  };
}

/**
 * Share of a piece that several areas cover together: overlaps count once, and what lies beyond the
 * piece counts nothing.
 */
export function coveredRatio(
  areas: readonly (readonly XyMm[])[],
  pieceRings: readonly (readonly XyMm[])[],
): number {
  return shareOf(unionRings(areas.map(positive)), pieceRings);
}

/** Area of the union of rings, mm². */
export function unionAreaMm2(areas: readonly (readonly XyMm[])[]): number {
  return ringsAreaMm2(unionRings(areas.map(positive)));
}

/** The measure in words, no finer than it was measured: '61 mm', '3.2 cm², 12 % of the piece'. Empty for one point. */
export function measureText({ countN, lengthMm, areaMm2, shareRatio }: Measure): string {
  const parts: string[] = [];
  if (lengthMm !== null) parts.push(`${Math.round(lengthMm)} mm`);
  if (areaMm2 !== null) parts.push(areaText(areaMm2));
  if (shareRatio !== null) parts.push(`${percentText(shareRatio)} of the piece`);
  if (parts.length === 0 && countN !== null && countN > 1) parts.push(`${countN} places`);
  return parts.join(', ');
}

/** '< 1 %', '4 %': whole per cent, a drawn outline is no finer. */
export function percentText(ratio: number): string {
  const percent = ratio * 100;
  return percent > 0 && percent < 1 ? '< 1 %' : `${Math.round(percent)} %`;
}

/** mm² below one cm², cm² with a digit below 100, whole above. */
export function areaText(areaMm2: number): string {
  if (areaMm2 < 100) return `${Math.round(areaMm2)} mm²`;
  const cm2 = areaMm2 / 100;
  return `${cm2 < 100 ? cm2.toFixed(1) : Math.round(cm2)} cm²`;
}

function shareOf(
  areas: readonly (readonly XyMm[])[],
  pieceRings: readonly (readonly XyMm[])[],
): number {
  const whole = ringsAreaMm2(pieceRings);
  if (!(whole > 0)) {
    throw new VocabularyError('bad-geometry', 'the piece has no area to take a share of');
  }
  const outsides = pieceRings.filter((ring) => ringAreaMm2(ring) > 0);
  const holes = pieceRings.filter((ring) => ringAreaMm2(ring) < 0);
  const inside = intersectRings(areas, outsides);
  const inHoles = holes.length === 0 ? 0 : ringsAreaMm2(intersectRings(inside, holes));
  return round(Math.min(1, (ringsAreaMm2(inside) - inHoles) / whole), 4);
}

function checkGeometry(term: FindingTerm, { kind, xyMm }: FindingGeometry): void {
  if (!term.geometries.includes(kind)) {
    throw new VocabularyError(
      'wrong-geometry',
      `"${term.label}" is drawn as ${term.geometries.join(' or ')}, not as ${kind}`,
    );
  }
  const least = { point: 1, line: 2, area: 3 }[kind];
  if (xyMm.length < least) {
    throw new VocabularyError(
      'bad-geometry',
      `a finding drawn as ${kind} needs ${least} points or more, got ${xyMm.length}`,
    );
  }
  if (!xyMm.flat().every(Number.isFinite)) {
    throw new VocabularyError('bad-geometry', 'a point of the finding is not a number');
  }
}

function positive(ring: readonly XyMm[]): readonly XyMm[] {
  return ringAreaMm2(ring) < 0 ? ring.toReversed() : ring;
}

function round(value: number, digits: number): number {
  const scale = 10 ** digits;
  return Math.round(value * scale) / scale;
}
