import type { Net, NetPiece } from '#libs/net';
import { isInside, type Xy } from './plane.js';

/** The piece under a point, in panel mm. */
export function pieceAt(net: Net, xyMm: Xy): NetPiece | undefined {
  return net.pieces.find((piece) => isInside(xyMm, piece.centreRingMm));
}

/** The joint nearest to a point within `reachMm`, to snap to. */
export function jointNear(net: Net, xyMm: Xy, reachMm: number): Xy | undefined {
  let best: Xy | undefined;
  let nearest = reachMm;
  for (const joint of net.joints) {
    const distance = Math.hypot(joint.xyMm[0] - xyMm[0], joint.xyMm[1] - xyMm[1]);
    if (distance <= nearest) {
      nearest = distance;
      best = joint.xyMm;
    }
  }
  return best;
}
