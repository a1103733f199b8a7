/** What a drawn point is pulled to on the bench: joints, and the edges of the glass that is seen. */
import Flatbush from 'flatbush';
import type { Net } from '#libs/net';
import { nearestOnLine, type XyMm } from '#libs/net';
import { glassOf } from './glass-of.js';

export interface Snapped {
  readonly xyMm: XyMm;
  readonly to: 'joint' | 'edge';
}

/** The joint within reach, or else the nearest place on an edge; null when neither is. */
export type GlassSnap = (xyMm: XyMm, reachMm: number) => Snapped | null;

/** An index over a drawing: about as many boxes as it has edges. */
export function glassSnap(net: Net): GlassSnap {
  const edges: [XyMm, XyMm][] = net.pieces.flatMap((piece) =>
    glassOf(piece).flatMap((ring) =>
      ring.map((point, i): [XyMm, XyMm] => [point, ring[(i + 1) % ring.length]!]),
    ),
  );
  const edgeIndex = indexOf(edges.map(([a, b]) => [a, b] as const));
  const joints = net.joints.map(({ xyMm }) => xyMm);
  const jointIndex = indexOf(joints.map((joint) => [joint, joint] as const));
  return ([x, y], reachMm) => {
    if (!(reachMm > 0)) return null;
    const at = jointIndex?.neighbors(x, y, 1, reachMm)[0];
    if (at !== undefined) return { xyMm: joints[at]!, to: 'joint' };
    let best: Snapped | null = null;
    let nearest = reachMm;
    for (const index of edgeIndex?.search(x - reachMm, y - reachMm, x + reachMm, y + reachMm) ??
      []) {
      const place = nearestOnLine(edges[index]!, [x, y]);
      if (place.offMm > nearest) continue;
      nearest = place.offMm;
      best = { xyMm: place.xyMm, to: 'edge' };
    }
    return best;
  };
}

function indexOf(spans: readonly (readonly [XyMm, XyMm])[]): Flatbush | null {
  if (spans.length === 0) return null;
  const index = new Flatbush(spans.length);
  for (const [[ax, ay], [bx, by]] of spans)
    index.add(Math.min(ax, bx), Math.min(ay, by), Math.max(ax, bx), Math.max(ay, by));
  index.finish();
  return index;
}
