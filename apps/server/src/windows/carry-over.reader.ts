import { Injectable } from '@nestjs/common';
import { Db } from '#libs/db';
import { intersectRings, pointsOfFlat, ringsAreaMm2 } from '#libs/net';
import { Problem } from '#libs/problem';

interface Match {
  provisionalPieceId: string;
  provisionalMark: string;
  pieceId: string | null;
  pieceMark: string | null;
  overlapRatio: number;
}

/** Below this share (intersection over union) nothing is proposed; a tracing is rarely better than 0.7. */
const OVERLAP_MIN = 0.2;

@Injectable()
export class CarryOverReader {
  constructor(private readonly db: Db) {}

  /** @throws {Problem} `net-unsigned` */
  async proposal(panel: {
    siteId: string;
    panelId: string;
    signedRevision: number | null;
  }): Promise<Match[]> {
    if (panel.signedRevision === null) {
      throw new Problem('net-unsigned', 'Sign a lead drawing of this panel first.');
    }
    const pieces = await this.db.piece.findMany({
      where: { siteId: panel.siteId, panelId: panel.panelId, retired: false },
      orderBy: { sortKey: 'asc' },
    });
    const signed = pieces.filter((piece) => !piece.provisional);
    return pieces
      .filter((piece) => piece.provisional)
      .map((provisional) => {
        const best = signed
          .map((piece) => ({ piece, overlapRatio: overlapRatio(provisional, piece) }))
          .reduce<{ piece: (typeof signed)[number] | null; overlapRatio: number }>(
            (most, one) => (one.overlapRatio > most.overlapRatio ? one : most),
            { piece: null, overlapRatio: 0 },
          );
        const piece = best.overlapRatio >= OVERLAP_MIN ? best.piece : null;
        return {
          provisionalPieceId: provisional.pieceId,
          provisionalMark: provisional.mark,
          pieceId: piece?.pieceId ?? null,
          pieceMark: piece?.mark ?? null,
          overlapRatio: Math.round(best.overlapRatio * 1000) / 1000,
        };
      });
  }
}

interface Outline {
  ringMm: number[];
  areaMm2: number;
}

function overlapRatio(a: Outline, b: Outline): number {
  const shared = ringsAreaMm2(intersectRings([pointsOfFlat(a.ringMm)], [pointsOfFlat(b.ringMm)]));
  return shared <= 0 ? 0 : shared / (a.areaMm2 + b.areaMm2 - shared);
}
