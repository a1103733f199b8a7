/** The rings of a piece and of the panel: what is seen between the leads, as cut, the outline. */
import { positiveUnion, ringsAreaMm2 } from './clip.js';
import { type Faces, lineOf, type Walk } from './faces.js';
import { labelPoint } from './label-point.js';
import type { NetPiece, XyMm } from './net.js';
import { insetRings, outsetRing, type WalkEdge } from './offset.js';
import { ringAreaMm2, roundXy } from './ring.js';
import { round } from './rounding.js';
import { simplifyRing } from './simplify.js';
import type { CleanSketch } from './sketch.js';

/** Stored sight and cut rings leave the computed ones by no more than this. */
const RING_TOLERANCE_MM = 0.01;

export type PieceGeometry = Omit<NetPiece, 'pieceId' | 'number' | 'part'>;

/**
 * A piece between its leads: seen, as cut, its areas and the place of its number.
 *
 * @param at its walk; `holes` the walks round leads free inside it
 * @param loose for each lead that bounds nothing the piece (`index`) that it lies in
 * @param cut how far inside a lead's centre line the glass ends; negative: beyond it
 */
export function pieceGeometry(
  sketch: CleanSketch,
  { walks }: Faces,
  at: number,
  holes: readonly number[],
  loose: readonly (number | null)[],
  open: ReadonlySet<number>,
  index: number,
  cut: (lead: number) => number,
): PieceGeometry {
  const { leads } = sketch;
  const walk = walks[at]!;
  const inside = leads.map((_, i) => i).filter((i) => loose[i] === index);
  const walksRound = [walk, ...holes.map((hole) => walks[hole]!)];
  const face = (lead: number) => leads[lead]!.faceWidthMm / 2;
  const sightRings = insetRings([
    ...walksRound.map((one) => walkEdges(sketch, one.halfEdges, face)),
    ...inside
      .filter((lead) => open.has(lead))
      .map((lead) => walkEdges(sketch, [2 * lead, 2 * lead + 1], face)),
  ]).map(tidy);
  const cutRings = insetRings([walkEdges(sketch, walk.halfEdges, cut)]).map(tidy);
  const cutRing = cutRings.reduce<XyMm[]>(
    (best, ring) => (ringAreaMm2(ring) > ringAreaMm2(best) ? ring : best),
    [],
  );
  const label = labelPoint(
    sightRings.length > 0 ? sightRings : walksRound.map((one) => one.ringMm),
  );
  const bounding = walksRound.flatMap((one) => one.halfEdges.map((half) => half >> 1));
  const leadIds = [...new Set([...bounding, ...inside])].sort((a, b) => a - b);
  return {
    centreRingMm: walk.ringMm,
    ...(holes.length > 0 && { holeRingsMm: holes.map((hole) => walks[hole]!.ringMm) }),
    sightRingsMm: sightRings,
    cutRingMm: cutRing,
    areaMm2: round(ringsAreaMm2(walksRound.map((one) => one.ringMm)), 2),
    sightAreaMm2: round(ringsAreaMm2(sightRings), 2),
    leadIds: leadIds.map((lead) => `L${lead + 1}`),
    labelMm: roundXy(label.xyMm),
    labelRadiusMm: round(label.radiusMm, 3),
  };
}

function walkEdges(
  sketch: CleanSketch,
  halfEdges: readonly number[],
  byMm: (lead: number) => number,
): WalkEdge[] {
  return halfEdges.flatMap((half) => {
    const line = lineOf(sketch, half);
    const by = byMm(half >> 1);
    return line.slice(1).map((to, i): WalkEdge => ({ from: line[i]!, to, byMm: by }));
  });
}

/** Over the outer leads: their centre lines with half a face outside. */
export function outlineOf(sketch: CleanSketch, outside: Walk): XyMm[] {
  // The outside walk is negative; walked back it is the positive ring of the outer centre lines.
  const back = outside.halfEdges.toReversed().map((half) => half ^ 1);
  const rings = outsetRing(walkEdges(sketch, back, (lead) => sketch.leads[lead]!.faceWidthMm / 2));
  const largest = (list: XyMm[][]) =>
    list.reduce((a, b) => (ringAreaMm2(b) > ringAreaMm2(a) ? b : a));
  // Where face widths change, edges a few hundredths long are left over; thinned and rounded, they
  // can cross or touch each other. Joined once more and cut at what touches, the ring is simple.
  return fromTopLeft(withoutLoops(largest(positiveUnion([tidy(largest(rings))])).map(roundXy)));
}

/** The ring with every loop that hangs on it by one vertex cut off; the larger part stays. */
function withoutLoops(ring: readonly XyMm[]): XyMm[] {
  const seen = new Map<string, number>();
  for (let i = 0; i < ring.length; i++) {
    const before = seen.get(String(ring[i]));
    if (before !== undefined) {
      const loop = ring.slice(before, i);
      const rest = [...ring.slice(0, before), ...ring.slice(i)];
      return withoutLoops(ringAreaMm2(loop) > ringAreaMm2(rest) ? loop : rest);
    }
    seen.set(String(ring[i]), i);
  }
  return [...ring];
}

/** Stored form of a computed ring. */
function tidy(ring: readonly XyMm[]): XyMm[] {
  return simplifyRing(fromTopLeft(ring), RING_TOLERANCE_MM).map(roundXy);
}

/** The ring from its top left vertex on, whatever the clipper began with. */
function fromTopLeft(ring: readonly XyMm[]): XyMm[] {
  const first = ring.reduce(
    (best, [x, y], i) => (y + x < ring[best]![1] + ring[best]![0] ? i : best),
    0,
  );
  return [...ring.slice(first), ...ring.slice(0, first)];
}
