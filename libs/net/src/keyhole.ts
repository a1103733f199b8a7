/**
 * An area with holes as one ring: each hole hangs on the outside by a slit without width, walked to the
 * hole and back, so that the shoelace sum and the winding numbers stay those of the area.
 */
import type { XyMm } from './net.js';
import { distanceMm, ringAreaMm2 } from './ring.js';

/**
 * One ring out of an outside and what is cut out of it.
 *
 * Each slit joins the two vertices that lie nearest to each other; walked both ways, it adds nothing to
 * any winding number. The holes that lie nearest come first, and a later one may hang on an earlier one.
 * Its cost is holes × vertices of the ring × vertices of the holes.
 *
 * @param outside of either direction @param holes inside of it, of either direction
 */
export function keyholeRing(outside: readonly XyMm[], holes: readonly (readonly XyMm[])[]): XyMm[] {
  let ring = ringAreaMm2(outside) < 0 ? outside.toReversed() : [...outside];
  const waiting = holes
    .filter((hole) => hole.length >= 3)
    .map((hole) => (ringAreaMm2(hole) > 0 ? hole.toReversed() : hole));
  while (waiting.length > 0) {
    let best = { hole: 0, at: 0, from: 0, offMm: Infinity };
    waiting.forEach((points, hole) => {
      points.forEach((point, at) => {
        ring.forEach((corner, from) => {
          const offMm = distanceMm(point, corner);
          if (offMm < best.offMm) best = { hole, at, from, offMm };
        });
      });
    });
    const [points] = waiting.splice(best.hole, 1);
    const turned = [...points!.slice(best.at), ...points!.slice(0, best.at + 1)];
    ring = [...ring.slice(0, best.from + 1), ...turned, ...ring.slice(best.from)];
  }
  return ring;
}
