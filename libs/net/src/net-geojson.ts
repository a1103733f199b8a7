/**
 * The lead drawing as a collection of features in the form of GeoJSON (RFC 7946): for programs that
 * read geometry and know nothing of nets.
 *
 * RFC 7946 means places on the earth; these are panel millimetres, x right, y DOWN, and the file
 * says so in members of its own (section 6.1 allows them). Geometry is the net's own, number for
 * number; pieces are what is seen between the leads, the ring as cut is in their properties.
 */

import { drawingWords } from './drawing-words.js';
import type { Net, NetPiece, XyMm } from './net.js';
import { DXF_LEAD_LAYERS } from './net-dxf.js';
import { ringAreaMm2 } from './ring.js';

export interface NetGeoJsonOptions {
  /** The panel's mark and what drawing this is. */
  readonly title?: string;
}

export function netGeoJson(net: Net, options: NetGeoJsonOptions = {}): string {
  const head = {
    type: 'FeatureCollection',
    format: 'mullion-net-features/1',
    title: options.title ?? 'Lead drawing',
    unit: 'mm',
    xAxis: 'right',
    yAxis: 'down',
    remark: `Panel millimetres, not places on the earth; y points down: programs that draw y upwards show it turned over. ${drawingWords(net).join(' ')}`,
    face: net.face,
    layer: net.layer,
    surface: net.surface,
  };
  const features = [
    feature(
      'outline',
      { type: 'Polygon', coordinates: [closed(net.outlineMm)] },
      { layer: 'PANEL_EDGE' },
    ),
    ...net.leads.map((lead) =>
      feature(
        lead.leadId,
        { type: 'LineString', coordinates: lead.lineMm },
        {
          layer: DXF_LEAD_LAYERS[lead.kind].name,
          kind: lead.kind,
          faceWidthMm: lead.faceWidthMm,
          widthSpreadMm: lead.widthSpreadMm,
          widthClassMm: lead.widthClassMm,
          widthClassP: lead.widthClassP,
          profile: lead.profile,
          confidenceP: lead.confidenceP,
          doubts: lead.doubts,
          joints: [lead.fromJointId, lead.toJointId],
          leftPiece: lead.leftPieceId,
          rightPiece: lead.rightPieceId,
        },
      ),
    ),
    ...net.pieces.map((piece) =>
      feature(piece.pieceId, sightGeometry(piece), {
        layer: 'GLASS_SIGHT',
        number: piece.number,
        part: piece.part,
        sightAreaMm2: piece.sightAreaMm2,
        areaToCentreLinesMm2: piece.areaMm2,
        cutRingMm: piece.cutRingMm,
        labelMm: piece.labelMm,
        leads: piece.leadIds,
      }),
    ),
    ...net.joints.map(({ jointId, xyMm, degree }) =>
      feature(jointId, { type: 'Point', coordinates: xyMm }, { layer: 'JOINTS', degree }),
    ),
  ];
  const members = Object.entries(head).map(
    ([key, value]) => `  ${JSON.stringify(key)}: ${JSON.stringify(value)}`,
  );
  return `{\n${members.join(',\n')},\n  "features": [\n${features.map((one) => `    ${JSON.stringify(one)}`).join(',\n')}\n  ]\n}\n`;
}

function feature(id: string, geometry: object | null, properties: object): object {
  return { type: 'Feature', id, geometry, properties };
}

/** One polygon for each part that is seen, its holes with it (sections 3.1.6, 3.1.7). */
function sightGeometry({ sightRingsMm }: NetPiece): object | null {
  const outsides = sightRingsMm.filter((ring) => ringAreaMm2(ring) > 0);
  const holes = sightRingsMm.filter((ring) => ringAreaMm2(ring) <= 0);
  if (outsides.length === 0) return null;
  const polygons = outsides.map((ring) => [
    closed(ring),
    // A piece in one part owns its holes; a lead ring in a pinched piece is in its largest part.
    ...(ring === largest(outsides) ? holes.map(closed) : []),
  ]);
  return polygons.length === 1
    ? { type: 'Polygon', coordinates: polygons[0] }
    : { type: 'MultiPolygon', coordinates: polygons };
}

function largest(rings: readonly (readonly XyMm[])[]): readonly XyMm[] {
  return rings.reduce((a, b) => (ringAreaMm2(b) > ringAreaMm2(a) ? b : a));
}

function closed(ring: readonly XyMm[]): XyMm[] {
  return [...ring, ring[0]!];
}
