/** From traced faces to a panel: its outside, its pieces, and what lies free inside them. */
import { type Faces, startNode } from './faces.js';
import type { XyMm } from './net.js';
import { NetError } from './net-error.js';
import { isInsideRing } from './ring.js';
import type { CleanSketch } from './sketch.js';

/** Which walks are pieces, which is the panel's outside, and which parts lie inside which piece. */
export function arrange(
  sketch: CleanSketch,
  { walks, componentCount }: Faces,
): { main: number; inner: number[]; holes: number[][] } {
  const inner = walks.map((_, i) => i).filter((i) => walks[i]!.areaMm2 > 0);
  if (inner.length === 0) throw new NetError('no-piece', 'the leads enclose no piece of glass');
  for (const { halfEdges } of walks) {
    const seen = new Set<number>();
    for (const half of halfEdges) {
      const node = startNode(sketch, half);
      if (seen.has(node)) {
        throw new NetError(
          'ring-pinched',
          'a piece touches itself at one joint: a lead is missing beside it',
          sketch.nodes[node],
        );
      }
      seen.add(node);
    }
  }
  const outer = walks.map((_, i) => i).filter((i) => walks[i]!.areaMm2 <= 0);
  if (outer.length !== componentCount) {
    throw new NetError('not-planar', `${componentCount} parts have ${outer.length} outsides`);
  }
  const main = outer.reduce((a, b) => (walks[b]!.areaMm2 < walks[a]!.areaMm2 ? b : a));
  const holes: number[][] = inner.map(() => []);
  for (const island of outer) {
    if (island === main) continue;
    const place = walks[island]!.ringMm[0]!;
    const around = inner
      .map((walk, piece) => ({ walk: walks[walk]!, piece }))
      .filter(
        ({ walk }) =>
          walk.component !== walks[island]!.component && isInsideRing(place, walk.ringMm),
      )
      .sort((a, b) => a.walk.areaMm2 - b.walk.areaMm2)[0];
    if (around === undefined) {
      throw new NetError('separate-parts', 'the drawing falls into separate panels', place);
    }
    holes[around.piece]!.push(island);
  }
  return { main, inner, holes };
}

/** The pieces add up to what the outer leads enclose. */
export function checkAreas({ walks }: Faces, main: number): void {
  const enclosed = -walks[main]!.areaMm2;
  let sum = 0;
  walks.forEach((walk, i) => {
    if (i !== main) sum += walk.areaMm2;
  });
  if (Math.abs(sum - enclosed) > 1e-6 * enclosed) {
    throw new NetError(
      'areas-differ',
      `pieces add up to ${sum} mm², the outer leads enclose ${enclosed} mm²`,
    );
  }
}

/** Which piece a place lies in; null outside the panel or in a hole. */
export function pieceAt(
  place: XyMm,
  { walks }: Faces,
  inner: readonly number[],
  holes: readonly (readonly number[])[],
): number | null {
  const at = inner.findIndex(
    (walk, piece) =>
      isInsideRing(place, walks[walk]!.ringMm) &&
      !holes[piece]!.some((hole) => isInsideRing(place, walks[hole]!.ringMm)),
  );
  return at === -1 ? null : at;
}
