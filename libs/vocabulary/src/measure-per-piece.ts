/** One finding over several pieces: kept whole as it was drawn, measured on each piece that it touches. */
import {
  intersectRings,
  isInsideRing,
  lineInside,
  polylineLengthMm,
  ringAreaMm2,
  ringsAreaMm2,
  type XyMm,
} from '#libs/net';
import { areaText, type FindingGeometry, percentText } from './measure.js';

/** A piece as findings are measured on it; a `NetPiece` is one. */
export interface MeasuredPiece {
  readonly pieceId: string;
  /** outline along the centre lines of the leads */
  readonly centreRingMm: readonly XyMm[];
  /** the glass that is seen: positive outsides, negative holes; empty when it is not known */
  readonly sightRingsMm: readonly (readonly XyMm[])[];
}

/** What one piece has of a finding; a figure that does not apply is null. */
export interface PieceShare {
  readonly pieceId: string;
  readonly countN: number | null;
  /** of a line, up to the leads' centre lines, so that the stretches of all pieces add up */
  readonly lengthMm: number | null;
  /** of an area, on the glass that is seen */
  readonly areaMm2: number | null;
  /** of the glass that is seen, 0-1 */
  readonly shareRatio: number | null;
}

/** Less than this is the unsteady hand, not a finding. */
const LEAST_MM = 0.2;
const LEAST_MM2 = 0.5;

/** The pieces that a finding touches, the one with most of it first. */
export function measurePerPiece(
  { kind, xyMm }: FindingGeometry,
  pieces: readonly MeasuredPiece[],
): PieceShare[] {
  const box = boxOf(xyMm);
  const near = pieces.filter(({ centreRingMm }) => doMeet(box, boxOf(centreRingMm)));
  const shares = near.flatMap((piece): PieceShare[] => {
    const { pieceId, centreRingMm } = piece;
    const nothing = { pieceId, countN: null, lengthMm: null, areaMm2: null, shareRatio: null };
    if (kind === 'point' || xyMm.length === 1) {
      const countN = xyMm.filter((point) => isInsideRing(point, centreRingMm)).length;
      return countN > 0 ? [{ ...nothing, countN }] : [];
    }
    if (kind === 'line') {
      const lengthMm = lineInside(xyMm, [centreRingMm]).reduce(
        (sum, stretch) => sum + polylineLengthMm(stretch),
        0,
      );
      return lengthMm > LEAST_MM ? [{ ...nothing, lengthMm }] : [];
    }
    const seen = seenRings(piece);
    const areaMm2 = areaOn(xyMm, seen);
    return areaMm2 > LEAST_MM2
      ? [{ ...nothing, areaMm2, shareRatio: Math.min(1, areaMm2 / ringsAreaMm2(seen)) }]
      : [];
  });
  const size = (share: PieceShare) => share.areaMm2 ?? share.lengthMm ?? share.countN ?? 0;
  return shares.sort((a, b) => size(b) - size(a));
}

/** '26: 40 mm', '31: 3.2 cm², 12 %' */
export function pieceShareText({ pieceId, countN, lengthMm, areaMm2, shareRatio }: PieceShare) {
  const parts = [
    ...(lengthMm === null ? [] : [`${Math.round(lengthMm)} mm`]),
    ...(areaMm2 === null ? [] : [areaText(areaMm2)]),
    ...(shareRatio === null ? [] : [percentText(shareRatio)]),
    ...(countN === null || countN === 1 ? [] : [`${countN} places`]),
  ];
  return parts.length === 0 ? pieceId : `${pieceId}: ${parts.join(', ')}`;
}

function seenRings({ sightRingsMm, centreRingMm }: MeasuredPiece): readonly (readonly XyMm[])[] {
  if (sightRingsMm.length > 0) return sightRingsMm;
  return [ringAreaMm2(centreRingMm) < 0 ? centreRingMm.toReversed() : centreRingMm];
}

function areaOn(ring: readonly XyMm[], seen: readonly (readonly XyMm[])[]): number {
  const outsides = seen.filter((one) => ringAreaMm2(one) > 0);
  const holes = seen.filter((one) => ringAreaMm2(one) < 0);
  const inside = intersectRings([ring], outsides);
  const inHoles = holes.length === 0 ? 0 : ringsAreaMm2(intersectRings(inside, holes));
  return ringsAreaMm2(inside) - inHoles;
}

type Box = readonly [number, number, number, number];

function boxOf(points: readonly XyMm[]): Box {
  const box: [number, number, number, number] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const [x, y] of points) {
    box[0] = Math.min(box[0], x);
    box[1] = Math.min(box[1], y);
    box[2] = Math.max(box[2], x);
    box[3] = Math.max(box[3], y);
  }
  return box;
}

const doMeet = (a: Box, b: Box) => a[0] <= b[2] && b[0] <= a[2] && a[1] <= b[3] && b[1] <= a[3];
