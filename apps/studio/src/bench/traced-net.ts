import type { Net, NetLead, NetPiece } from '#libs/net';
import { areaOf, boxOf, pairs, type Xy } from '../drawing/plane.js';
import type { Panel, Piece } from '../platform/api/panels.js';

/** Outline of a panel in its own frame: from its measured size, or from the window's drawing. */
export function panelOutline(panel: Pick<Panel, 'sizes' | 'ringMm'>): readonly Xy[] {
  const size = panel.sizes.panel ?? panel.sizes.tight ?? panel.sizes.sight;
  const ring = pairs(panel.ringMm);
  if (ring.length > 2) {
    const box = boxOf(ring);
    return ring.map(([x, y]) => [x - box.minX, y - box.minY]);
  }
  const [w, h] = size ? [size.widthMm, size.heightMm] : [500, 500];
  return [
    [0, 0],
    [w, 0],
    [w, h],
    [0, h],
  ];
}

/**
 * What the bench shows before there is a lead drawing: the panel's outline and the pieces traced so
 * far and stand. Not a net and never stored: its edges are outlines, not leads.
 */
export function sketchOfTraced(panel: Panel, all: readonly Piece[]): Net {
  const pieces = all.filter(({ retired }) => !retired);
  const outlineMm = panelOutline(panel);
  const edge = (leadId: string, ring: readonly Xy[], faceWidthMm: number): NetLead => ({
    leadId,
    fromJointId: '',
    toJointId: '',
    kind: 'came',
    lineMm: [...ring, ring[0]!],
    faceWidthMm,
    widthSpreadMm: 0,
    widthClassMm: faceWidthMm,
    widthClassP: 0,
    profile: null,
    confidenceP: 0,
    doubts: [],
    leftPieceId: null,
    rightPieceId: null,
  });
  const rings = pieces
    .map((piece) => pairs(piece.ringMm))
    .map((ring) => (ring.length > 2 ? ring : []));
  return {
    format: 'mullion-net/1',
    face: 'inside',
    layer: 'front',
    surface: 'plan',
    heartMm: 0,
    clearanceMm: 0,
    joints: [],
    leads: [
      edge('outline', outlineMm, 3),
      ...rings.flatMap((ring, index) => (ring.length > 2 ? [edge(`t${index}`, ring, 1.6)] : [])),
    ],
    pieces: pieces.flatMap((piece, index) => tracedPiece(piece, rings[index]!)),
    outlineMm,
    widthClasses: [],
    doubtfulPlaces: [],
    flatten: null,
    madeBy: { name: 'tracing', version: '0' },
  };
}

function tracedPiece(piece: Piece, ring: readonly Xy[]): NetPiece[] {
  if (ring.length < 3) return [];
  const box = boxOf(ring);
  return [
    {
      pieceId: piece.mark,
      number: Number.parseInt(piece.mark, 10) || 0,
      part: null,
      centreRingMm: ring,
      sightRingsMm: [ring],
      cutRingMm: ring,
      areaMm2: areaOf(ring),
      sightAreaMm2: areaOf(ring),
      leadIds: [],
      labelMm: [(box.minX + box.maxX) / 2, (box.minY + box.maxY) / 2],
      labelRadiusMm: Math.min(box.maxX - box.minX, box.maxY - box.minY) / 2,
    },
  ];
}
