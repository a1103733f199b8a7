/** How much of one drawing's pieces lies in another's, in the same frame. */
import { intersectRings, ringsAreaMm2 } from './clip.js';
import type { NetPiece } from './net.js';
import { boundsMm } from './ring.js';

/** Two pieces are the same glass when intersection over union is at least this. */
export const SAME_PIECE_RATIO = 0.5;

export interface Overlap {
  readonly before: number;
  readonly after: number;
  /** Intersection over union. */
  readonly iou: number;
  /** Share of the earlier and of the later piece. */
  readonly ofBefore: number;
  readonly ofAfter: number;
}

/**
 * Every pair of pieces that share area; indices into the two lists. Pieces of one list must not overlap
 * each other, as those of a net do not: a piece whose ring is the same in both lists then meets no other,
 * and is not clipped. That is most of them after an edit.
 */
export function overlapsOf(before: readonly NetPiece[], after: readonly NetPiece[]): Overlap[] {
  const boxes = before.map((piece) => boundsMm(piece.centreRingMm));
  const same = new Map(before.map((piece, at) => [piece.centreRingMm.join(), at]));
  return after.flatMap((piece, at) => {
    const unchanged = same.get(piece.centreRingMm.join());
    if (unchanged !== undefined)
      return [{ before: unchanged, after: at, iou: 1, ofBefore: 1, ofAfter: 1 }];
    const box = boundsMm(piece.centreRingMm);
    return before.flatMap((old, was): Overlap[] => {
      const other = boxes[was]!;
      const apart =
        other.minX > box.maxX ||
        other.maxX < box.minX ||
        other.minY > box.maxY ||
        other.maxY < box.minY;
      if (apart) return [];
      const shared = ringsAreaMm2(intersectRings([old.centreRingMm], [piece.centreRingMm]));
      if (shared <= 0) return [];
      return [
        {
          before: was,
          after: at,
          iou: shared / (old.areaMm2 + piece.areaMm2 - shared),
          ofBefore: shared / old.areaMm2,
          ofAfter: shared / piece.areaMm2,
        },
      ];
    });
  });
}
