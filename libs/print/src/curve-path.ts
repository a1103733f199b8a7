/** Curves in millimetres with the PDF pen. */
import { arcRadiusMm, arcSweep, type Curve } from '#libs/net';
import { pt } from './paper.js';

/**
 * Adds a curve to the current path. PDF knows no arcs: each becomes cubics of an eighth of a turn
 * or less, off by a four-millionth of the radius.
 */
export function traceCurve(
  doc: PDFKit.PDFDocument,
  { fromMm, parts }: Curve,
  isClosed: boolean,
): void {
  doc.moveTo(pt(fromMm[0]), pt(fromMm[1]));
  let from = fromMm;
  for (const part of parts) {
    if (part.kind === 'line') doc.lineTo(pt(part.toMm[0]), pt(part.toMm[1]));
    else if (part.kind === 'cubic') {
      const { c1Mm: a, c2Mm: b, toMm } = part;
      doc.bezierCurveTo(pt(a[0]), pt(a[1]), pt(b[0]), pt(b[1]), pt(toMm[0]), pt(toMm[1]));
    } else {
      const [cx, cy] = part.centreMm;
      const sweep = arcSweep(from, part);
      const count = Math.max(1, Math.ceil(Math.abs(sweep) / (Math.PI / 4)));
      const step = sweep / count;
      const radius = arcRadiusMm(from, part);
      const k = (4 / 3) * Math.tan(step / 4);
      const start = Math.atan2(from[1] - cy, from[0] - cx);
      for (let i = 0; i < count; i++) {
        const a = start + i * step;
        const b = a + step;
        const x = (angle: number, along: number) =>
          pt(cx + radius * (Math.cos(angle) - along * Math.sin(angle)));
        const y = (angle: number, along: number) =>
          pt(cy + radius * (Math.sin(angle) + along * Math.cos(angle)));
        doc.bezierCurveTo(x(a, k), y(a, k), x(b, -k), y(b, -k), x(b, 0), y(b, 0));
      }
    }
    from = part.toMm;
  }
  if (isClosed) doc.closePath();
}
