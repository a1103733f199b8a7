/** Where a drawn finding lies: its points in the panel's frame and what of the panel it is on. */
import {
  isInsideRing,
  type Net,
  pointsOfFlat,
  polylineLengthMm,
  resampleMm,
  ringCentroidMm,
  roundXy,
  type XyMm,
} from '#libs/net';
import { Problem } from '#libs/problem';
import { checkedInPanel } from './marks.js';
import type { PieceRow } from './rows.js';

export interface Geometry {
  readonly kind: 'point' | 'line' | 'area';
  readonly xyMm: readonly XyMm[];
}

/** [left, upper, right, lower], mm */
type Box = readonly [number, number, number, number];

/** A piece as findings meet it: of the drawing, or provisional. */
export interface TargetPiece {
  readonly mark: string;
  /** outline along the lead centre lines, mm */
  readonly ringMm: readonly XyMm[];
  /** around the outline: a piece whose box is elsewhere need not be looked at */
  readonly boxMm: Box;
  /** what a share is taken of: the glass that is seen */
  readonly shareRingsMm: readonly (readonly XyMm[])[];
}

export interface Targets {
  readonly pieces: readonly TargetPiece[];
  readonly leadIds: ReadonlySet<string>;
  readonly jointIds: ReadonlySet<string>;
}

export function targetsOfNet(net: Net): Targets {
  return {
    pieces: net.pieces.map(({ pieceId, centreRingMm, sightRingsMm }) => ({
      mark: pieceId,
      ringMm: centreRingMm,
      boxMm: boxOf(centreRingMm),
      shareRingsMm: sightRingsMm.length === 0 ? [centreRingMm] : sightRingsMm,
    })),
    leadIds: new Set(net.leads.map((lead) => lead.leadId)),
    jointIds: new Set(net.joints.map((joint) => joint.jointId)),
  };
}

export function targetsOfTracings(pieces: readonly PieceRow[]): Targets {
  return {
    pieces: pieces.map(({ mark, ringMm: flat }) => {
      const ringMm = pointsOfFlat(flat);
      return { mark, ringMm, boxMm: boxOf(ringMm), shareRingsMm: [ringMm] };
    }),
    leadIds: new Set(),
    jointIds: new Set(),
  };
}

/** Step at which a line is asked where it runs. */
const STEP_MM = 2;

/**
 * The piece that the geometry is on: the one that holds the point, the middle of the area, or most
 * of the line. Undefined when it is on none.
 */
export function pieceUnder({ kind, xyMm }: Geometry, { pieces }: Targets): TargetPiece | undefined {
  const probes = probesOf(kind, xyMm);
  const around = boxOf(probes);
  const counted = pieces
    .filter(({ boxMm }) => doMeet(boxMm, around))
    .map((piece) => ({
      piece,
      hits: probes.filter((probe) => isInsideRing(probe, piece.ringMm)).length,
    }));
  const most = counted.reduce<{ piece?: TargetPiece; hits: number }>(
    (best, one) => (one.hits > best.hits ? one : best),
    { hits: 0 },
  );
  return most.piece;
}

function boxOf(places: readonly XyMm[]): Box {
  const box: [number, number, number, number] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const [x, y] of places) {
    if (x < box[0]) box[0] = x;
    if (y < box[1]) box[1] = y;
    if (x > box[2]) box[2] = x;
    if (y > box[3]) box[3] = y;
  }
  return box;
}

function doMeet(a: Box, b: Box): boolean {
  return a[0] <= b[2] && b[0] <= a[2] && a[1] <= b[3] && b[1] <= a[3];
}

function probesOf(kind: Geometry['kind'], xyMm: readonly XyMm[]): readonly XyMm[] {
  if (kind === 'line' && polylineLengthMm(xyMm) > 0) return resampleMm(xyMm, STEP_MM);
  if (kind !== 'area' || xyMm.length < 3) return xyMm;
  const middle = ringCentroidMm(xyMm);
  // A bent area may not hold its own middle.
  return isInsideRing(middle, xyMm) ? [middle] : xyMm;
}

/**
 * The piece that a mark names (a part, shard or plate is on its piece); null for a lead or joint.
 *
 * @throws {Problem} `subject-unknown`, `mark-invalid`
 */
export function namedTarget(mark: string, targets: Targets): TargetPiece | null {
  const place = checkedInPanel(mark, 'inPanel');
  if (place.kind === 'lead' && targets.leadIds.has(mark)) return null;
  if (place.kind === 'joint' && targets.jointIds.has(mark)) return null;
  const piece =
    targets.pieces.find((one) => one.mark === mark) ??
    targets.pieces.find(
      (one) => one.mark === String(place.number) && place.kind !== 'lead' && place.kind !== 'joint',
    );
  if (piece !== undefined) return piece;
  throw new Problem(
    'subject-unknown',
    `inPanel: the drawing of this panel has no ${mark}. Leave it out to have it found from the geometry, or trace the piece first.`,
    { field: 'inPanel' },
  );
}

/** Refuses points that cannot be on a panel. @throws {Problem} `geometry-invalid` */
export function checkedPoints(xyMm: readonly XyMm[]): XyMm[] {
  return xyMm.map((point) => {
    if (Math.hypot(...point) > 100_000) {
      throw new Problem(
        'geometry-invalid',
        `geometry: the point ${point.join(', ')} is more than 100 m from the panel. Coordinates are millimetres.`,
        { field: 'geometry' },
      );
    }
    return roundXy(point);
  });
}
