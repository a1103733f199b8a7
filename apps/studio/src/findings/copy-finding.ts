/** The same finding on other pieces: at the same place from each piece's number, no larger than its glass. */
import {
  intersectRings,
  lineInside,
  type Net,
  type NetPiece,
  polylineLengthMm,
  ringAreaMm2,
  ringsAreaMm2,
} from '#libs/net';
import type { FindingGeometry } from '#libs/vocabulary';
import { glassOf } from '../drawing/glass-of.js';
import { partsOf, rounded } from './finding-draft.js';

/** From here on a finding is on all of a piece, and its copy on all of the other. */
const WHOLE_RATIO = 0.97;
/** Shorter lines and smaller patches are no copies. */
const LEAST_MM = 1;
const LEAST_MM2 = 1;

/** The pieces that share a lead with one, in the order of their numbers. */
export function neighboursOf({ leads, pieces }: Net, pieceId: string): readonly string[] {
  const beside = new Set(
    leads.flatMap(({ leftPieceId, rightPieceId }) => {
      if (leftPieceId === pieceId) return rightPieceId ?? [];
      return rightPieceId === pieceId ? (leftPieceId ?? []) : [];
    }),
  );
  beside.delete(pieceId);
  return pieces.map((piece) => piece.pieceId).filter((id) => beside.has(id));
}

/** What is recorded on the other piece; empty when nothing of it falls on its glass. */
export function copyFinding(
  { kind, xyMm }: FindingGeometry,
  from: NetPiece,
  to: NetPiece,
): FindingGeometry[] {
  const [dx, dy] = [to.labelMm[0] - from.labelMm[0], to.labelMm[1] - from.labelMm[1]];
  const moved = xyMm.map(([x, y]) => rounded([x + dx, y + dy]));
  if (kind === 'point') return [{ kind, xyMm: moved }];
  if (kind === 'line') {
    const [longest] = lineInside(moved, [to.centreRingMm])
      .filter((line) => polylineLengthMm(line) > LEAST_MM)
      .sort((a, b) => polylineLengthMm(b) - polylineLengthMm(a));
    return longest ? [{ kind, xyMm: longest.map(rounded) }] : [];
  }
  const [glass, other] = [glassOf(from), glassOf(to)];
  const covered = ringsAreaMm2(intersectRings([xyMm], glass)) / ringsAreaMm2(glass);
  const rings = covered >= WHOLE_RATIO ? other : intersectRings([moved], other);
  return partsOf(rings)
    .filter((ring) => ringAreaMm2(ring) > LEAST_MM2)
    .map((ring) => ({ kind, xyMm: ring.map(rounded) }));
}
