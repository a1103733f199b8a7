/**
 * The lead drawing as DXF (release 2000) in millimetres, layers named by trade terms.
 *
 * DXF's y axis points up: y is turned over about the outline, whose lower left corner is (0, 0), so
 * nothing is mirrored unless asked for. Every line is one polyline of lines and arcs.
 */
import { bulgeVertices } from './curve/bulges.js';
import { type Curve, placeCurve } from './curve/curve-parts.js';
import { netCurves } from './curve/net-curves.js';
import { drawingWords } from './drawing-words.js';
import { DxfFile, type DxfLayer } from './dxf-file.js';
import type { LeadKind, Net, XyMm } from './net.js';
import { numberSizeMm } from './number-size.js';
import { boundsMm } from './ring.js';

export interface NetDxfOptions {
  /** The panel's mark and what drawing this is. */
  readonly title?: string;
  /** Turned over left to right, for work from outside. */
  readonly mirrored?: boolean;
}

/** Layer of each kind of lead: its centre lines. */
export const DXF_LEAD_LAYERS: Record<LeadKind, DxfLayer> = {
  came: { name: 'CAME', colour: 7 },
  outer: { name: 'OUTER_CAME', colour: 7 },
  mending: { name: 'MENDING_LEAD', colour: 30, isDashed: true },
  strap: { name: 'STRAP_LEAD', colour: 6, isDashed: true },
  foil: { name: 'COPPER_FOIL', colour: 34 },
  broken: { name: 'BROKEN_LEAD', colour: 1, isDashed: true },
};

/** The other layers: edges of panel and glass, numbers, what must be known of the drawing. */
export const DXF_LAYERS = {
  panelEdge: { name: 'PANEL_EDGE', colour: 8 },
  glassSight: { name: 'GLASS_SIGHT', colour: 4 },
  glassCut: { name: 'GLASS_CUT', colour: 1 },
  pieceNumbers: { name: 'PIECE_NUMBERS', colour: 5 },
  notes: { name: 'NOTES', colour: 8 },
} as const satisfies Record<string, DxfLayer>;

/** How far a chain of arcs may leave the curve that it stands for. */
export const DXF_ARC_ERROR_MM = 0.01;

export function netDxf(net: Net, options: NetDxfOptions = {}): string {
  const box = boundsMm(net.outlineMm);
  const up = ([x, y]: XyMm): XyMm => [x - box.minX, box.maxY - y];
  const size: XyMm = [box.maxX - box.minX, box.maxY - box.minY];
  const notes = [
    `${options.title ?? 'Lead drawing'}, 1:1, one unit is one millimetre.`,
    ...drawingWords(net, options),
  ];
  const file = new DxfFile(
    [...Object.values(DXF_LEAD_LAYERS), ...Object.values(DXF_LAYERS)],
    size,
    notes,
  );
  const curves = netCurves(net, options);
  const vertices = (curve: Curve) => bulgeVertices(placeCurve(curve, up, true), DXF_ARC_ERROR_MM);
  const ring = (layer: DxfLayer, curve: Curve, name: string) => {
    file.polyline(layer.name, vertices(curve).slice(0, -1), true, { name });
  };
  ring(DXF_LAYERS.panelEdge, curves.outline, 'panel edge');
  net.leads.forEach(({ leadId, kind, faceWidthMm }, i) => {
    file.polyline(DXF_LEAD_LAYERS[kind].name, vertices(curves.leads[i]!), false, {
      name: leadId,
      faceMm: faceWidthMm,
    });
  });
  net.pieces.forEach(({ pieceId, labelRadiusMm }, i) => {
    for (const sight of curves.sight[i]!) ring(DXF_LAYERS.glassSight, sight, pieceId);
    const cut = curves.cut[i];
    if (cut) ring(DXF_LAYERS.glassCut, cut, pieceId);
    file.text({
      layer: DXF_LAYERS.pieceNumbers.name,
      text: pieceId,
      atMm: up(curves.labelsMm[i]!),
      heightMm: numberSizeMm(pieceId, labelRadiusMm),
      isCentred: true,
    });
  });
  file.writeComments(DXF_LAYERS.notes.name);
  return file.toString();
}
