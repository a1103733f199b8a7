/** Pattern pieces for a cutting plotter or a drawing program: SVG and DXF at 1:1. */
import { bulgeVertices } from '../curve/bulges.js';
import { placeCurve } from '../curve/curve-parts.js';
import { drawingWords } from '../drawing-words.js';
import { DxfFile } from '../dxf-file.js';
import type { Net, XyMm } from '../net.js';
import { DXF_ARC_ERROR_MM, DXF_LAYERS } from '../net-dxf.js';
import { numberSizeMm } from '../number-size.js';
import { curvePath, escapeXml, svgNumber } from '../svg-path.js';
import { type PatternLayout, type PatternOptions, patternLayout } from './pattern-layout.js';

export interface PatternFileOptions extends PatternOptions {
  readonly title?: string;
}

/** Layer of the arrows of grain and figure; the rest as in the drawing's DXF. */
export const GRAIN_LAYER = { name: 'GRAIN_ARROW', colour: 3 } as const;
const SHEET_GAP_MM = 20;

/** Sheets lie side by side. Each piece is one closed path; numbers and arrows are apart from it. */
export function patternSvg(net: Net, options: PatternFileOptions = {}): string {
  const layout = patternLayout(net, options);
  const [width, height] = boardMm(layout);
  const title = escapeXml(options.title ?? 'Pattern pieces');
  const at = placer(layout);
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${svgNumber(width)}mm" height="${svgNumber(height)}mm" viewBox="0 0 ${svgNumber(width)} ${svgNumber(height)}">`,
    `<title>${title}</title>`,
    `<desc>Scale 1:1. One unit is one millimetre. ${drawingWords(net, options).join(' ')} Glass as cut, into the heart. Measure one piece before you cut.</desc>`,
    '<style>.cut{fill:none;stroke:#1c1b19;stroke-width:.2}.arrow{fill:none;stroke:#6b675f;stroke-width:.25}text{font-family:sans-serif;fill:#1c1b19;text-anchor:middle;dominant-baseline:central}</style>',
    ...layout.pieces.map((piece) => {
      const place = at(piece.sheet);
      const [x, y] = place(piece.labelMm);
      const size = numberSizeMm(piece.pieceId, piece.labelRadiusMm * 0.8);
      const arrow = arrowLines(piece.arrowMm).map((line) => line.map(place));
      return (
        `<g data-piece="${piece.pieceId}"><path class="cut" d="${curvePath(placeCurve(piece.curve, place, false), true)}"/>` +
        arrow
          .map((line) => `<polyline class="arrow" points="${line.map(svgXy).join(' ')}"/>`)
          .join('') +
        `<text x="${svgNumber(x)}" y="${svgNumber(y)}" font-size="${svgNumber(size)}">${piece.pieceId}</text></g>`
      );
    }),
    '</svg>',
    '',
  ].join('\n');
}

/** Layers GLASS_CUT (closed polylines), PIECE_NUMBERS, GRAIN_ARROW, NOTES; sheets side by side. */
export function patternDxf(net: Net, options: PatternFileOptions = {}): string {
  const layout = patternLayout(net, options);
  const [width, height] = boardMm(layout);
  const notes = [
    `${options.title ?? 'Pattern pieces'}, glass as cut, 1:1, one unit is one millimetre.`,
    ...drawingWords(net, options),
  ];
  const layers = [DXF_LAYERS.glassCut, DXF_LAYERS.pieceNumbers, GRAIN_LAYER, DXF_LAYERS.notes];
  const file = new DxfFile(layers, [width, height], notes);
  const at = placer(layout);
  for (const piece of layout.pieces) {
    const place = at(piece.sheet);
    const up = (xyMm: XyMm): XyMm => {
      const [x, y] = place(xyMm);
      return [x, height - y];
    };
    const vertices = bulgeVertices(placeCurve(piece.curve, up, true), DXF_ARC_ERROR_MM);
    file.polyline(DXF_LAYERS.glassCut.name, vertices.slice(0, -1), true, { name: piece.pieceId });
    for (const line of arrowLines(piece.arrowMm)) {
      file.polyline(
        GRAIN_LAYER.name,
        line.map((xyMm) => ({ xyMm: up(xyMm), bulge: 0 })),
        false,
      );
    }
    file.text({
      layer: DXF_LAYERS.pieceNumbers.name,
      text: piece.pieceId,
      atMm: up(piece.labelMm),
      heightMm: numberSizeMm(piece.pieceId, piece.labelRadiusMm * 0.8),
      isCentred: true,
    });
  }
  file.writeComments(DXF_LAYERS.notes.name);
  return file.toString();
}

/** Shaft in two halves with room for the number between, and the two barbs at the tip. */
export function arrowLines([tail, tip]: readonly [XyMm, XyMm]): XyMm[][] {
  const [dx, dy] = [tip[0] - tail[0], tip[1] - tail[1]];
  const on = (t: number, across: number): XyMm => [
    tail[0] + t * dx - across * dy,
    tail[1] + t * dy + across * dx,
  ];
  return [
    [on(0, 0), on(0.2, 0)],
    [on(0.8, 0), tip],
    [on(0.88, 0.07), tip, on(0.88, -0.07)],
  ];
}

function boardMm({ sheetMm: [width, height], sheets }: PatternLayout): XyMm {
  return [sheets * width + (sheets - 1) * SHEET_GAP_MM, height];
}

function placer({ sheetMm: [width] }: PatternLayout) {
  return (sheet: number) =>
    ([x, y]: XyMm): XyMm => [x + sheet * (width + SHEET_GAP_MM), y];
}

function svgXy([x, y]: XyMm): string {
  return `${svgNumber(x)},${svgNumber(y)}`;
}
