import type { Net, XyMm } from '#libs/net';
import { INK, pt } from './paper.js';
import { type Pdf, tracePath } from './pdf-page.js';

/** Leads as grey areas, glass as white paper. @param place from the panel's millimetres to the page's */
export function fillNet(
  doc: Pdf,
  net: Pick<Net, 'outlineMm' | 'pieces'>,
  place: (xy: XyMm) => XyMm,
): void {
  tracePath(doc, net.outlineMm.map(place), true);
  doc.lineWidth(pt(0.2)).fillAndStroke('#cfcac0', INK.leadEdge);
  for (const { sightRingsMm } of net.pieces) {
    if (sightRingsMm.length === 0) continue;
    for (const ring of sightRingsMm) tracePath(doc, ring.map(place), true);
    doc.lineWidth(pt(0.15)).fillAndStroke('#ffffff', INK.leadEdge, 'even-odd');
  }
}
