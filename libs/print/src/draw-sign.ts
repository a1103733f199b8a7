/** Signs of the vocabulary drawn with the PDF pen; geometry in millimetres on the paper. */
import {
  AREA_HATCHES,
  type FindingTerm,
  type GeometryKind,
  type HatchTile,
  inkOf,
  LINE_STROKES,
  type LineStroke,
  lineMarks,
  OKABE_ITO,
  POINT_SHAPES,
  type PointShape,
  swatchParts,
} from '#libs/vocabulary';
import { pt } from './paper.js';
import { type Pdf, strokeLine, tracePath } from './pdf-page.js';

type Xy = readonly [x: number, y: number];

/** Draws one finding as its term's sign: hatch and colour, both. */
export function drawFinding(
  doc: Pdf,
  term: FindingTerm,
  kind: GeometryKind,
  xyMm: readonly Xy[],
): void {
  const colour = OKABE_ITO[term.sign.colour];
  const { ink } = inkOf(term.sign.colour);
  switch (kind) {
    case 'area':
      drawArea(doc, term, xyMm);
      return;
    case 'line': {
      const stroke: LineStroke = LINE_STROKES[term.sign.line ?? 'plain'];
      const { strokeMm: widthMm, dashMm } = stroke;
      if (ink !== colour) strokeLine(doc, xyMm, { widthMm: widthMm + 0.35, colour: ink, dashMm });
      strokeLine(doc, xyMm, { widthMm, colour, dashMm });
      for (const mark of lineMarks(stroke, xyMm)) {
        strokeLine(doc, mark, { widthMm: 0.35, colour: ink });
      }
      return;
    }
    case 'point': {
      const shape: PointShape = POINT_SHAPES[term.sign.point ?? 'disc'];
      for (const [x, y] of xyMm) drawPoint(doc, shape, x, y, colour, ink);
    }
  }
}

/** The swatch of 16 × 6 mm with its top left at (x, y). */
export function drawSwatch(doc: Pdf, term: FindingTerm, xMm: number, yMm: number): void {
  for (const { kind, xyMm } of swatchParts(term)) {
    drawFinding(
      doc,
      term,
      kind,
      xyMm.map(([x, y]): Xy => [x + xMm, y + yMm]),
    );
  }
}

function drawPoint(
  doc: Pdf,
  { lines, rings, isFilled }: PointShape,
  xMm: number,
  yMm: number,
  colour: string,
  ink: string,
): void {
  const paint = () => {
    doc.lineWidth(pt(0.5));
    if (isFilled) doc.fillAndStroke(colour, ink);
    else doc.strokeColor(ink).stroke();
  };
  for (const line of lines) {
    tracePath(
      doc,
      line.map(([x, y]): Xy => [x + xMm, y + yMm]),
      false,
    );
    paint();
  }
  for (const [x, y, radius] of rings) {
    doc.circle(pt(x + xMm), pt(y + yMm), pt(radius));
    paint();
  }
}

function drawArea(doc: Pdf, term: FindingTerm, ring: readonly Xy[]): void {
  const tile: HatchTile = AREA_HATCHES[term.sign.area ?? 'lines-45'];
  const { ink, tint, tintOpacity } = inkOf(term.sign.colour);
  doc.save();
  tracePath(doc, ring, true);
  doc.clip();
  tracePath(doc, ring, true);
  doc.fillOpacity(tintOpacity).fillColor(tint).fill();
  doc.fillOpacity(1);
  const xs = ring.map(([x]) => x);
  const ys = ring.map(([, y]) => y);
  const first = (low: number, step: number) => Math.floor(low / step) * step;
  // One path for all strokes of the hatch: small files and quick viewers.
  for (let x = first(Math.min(...xs), tile.widthMm); x < Math.max(...xs); x += tile.widthMm) {
    for (let y = first(Math.min(...ys), tile.heightMm); y < Math.max(...ys); y += tile.heightMm) {
      for (const line of tile.lines) {
        tracePath(
          doc,
          line.map(([dx, dy]): Xy => [x + dx, y + dy]),
          false,
        );
      }
      for (const [dx, dy, radius] of tile.rings) {
        doc.circle(pt(x + dx), pt(y + dy), pt(radius));
      }
    }
  }
  if (tile.lines.length + tile.rings.length > 0) {
    doc.lineWidth(pt(tile.strokeMm)).strokeColor(ink).stroke();
  }
  if (tile.dots.length > 0) {
    for (let x = first(Math.min(...xs), tile.widthMm); x < Math.max(...xs); x += tile.widthMm) {
      for (let y = first(Math.min(...ys), tile.heightMm); y < Math.max(...ys); y += tile.heightMm) {
        for (const [dx, dy, radius] of tile.dots) {
          doc.circle(pt(x + dx), pt(y + dy), pt(radius));
        }
      }
    }
    doc.fillColor(ink).fill();
  }
  doc.restore();
  tracePath(doc, ring, true);
  doc.lineWidth(pt(0.4)).strokeColor(ink).lineJoin('round').stroke();
}
