/**
 * The lead drawing as plain ASCII DXF of release 12 (AC1009), in millimetres.
 *
 * Release 12 has no header field for the unit, so a comment says it: one drawing unit is 1 mm.
 * Layers: OUTLINE, LEADS (centre lines), SIGHT, CUT, NUMBERS. DXF's y axis points up: y is turned
 * over about the outline, its lower left corner at (0, 0), so nothing is mirrored.
 * Source: group codes of the DXF reference (from memory); read back by another parser in the test.
 */
import type { Net, XyMm } from './net.js';
import { numberSizeMm } from './net-svg.js';
import { boundsMm } from './ring.js';

const LAYERS = [
  ['OUTLINE', 7],
  ['LEADS', 8],
  ['SIGHT', 4],
  ['CUT', 1],
  ['NUMBERS', 5],
] as const;

export function netDxf(net: Net): string {
  const box = boundsMm(net.outlineMm);
  const place = ([x, y]: XyMm): XyMm => [x - box.minX, box.maxY - y];
  const out: string[] = [];
  const put = (code: number, value: string | number) => {
    out.push(String(code), typeof value === 'number' ? format(value) : value);
  };
  const polyline = (layer: string, points: readonly XyMm[], isClosed: boolean) => {
    put(0, 'POLYLINE');
    put(8, layer);
    put(66, '1');
    put(10, 0);
    put(20, 0);
    put(30, 0);
    put(70, isClosed ? '1' : '0');
    for (const point of points) {
      const [x, y] = place(point);
      put(0, 'VERTEX');
      put(8, layer);
      put(10, x);
      put(20, y);
      put(30, 0);
    }
    put(0, 'SEQEND');
    put(8, layer);
  };

  put(999, 'Lead drawing 1:1, one unit is one millimetre, seen from inside');
  put(0, 'SECTION');
  put(2, 'HEADER');
  put(9, '$ACADVER');
  put(1, 'AC1009');
  put(9, '$EXTMIN');
  put(10, 0);
  put(20, 0);
  put(30, 0);
  put(9, '$EXTMAX');
  put(10, box.maxX - box.minX);
  put(20, box.maxY - box.minY);
  put(30, 0);
  put(0, 'ENDSEC');
  put(0, 'SECTION');
  put(2, 'TABLES');
  put(0, 'TABLE');
  put(2, 'LTYPE');
  put(70, '1');
  put(0, 'LTYPE');
  put(2, 'CONTINUOUS');
  put(70, '0');
  put(3, 'Solid line');
  put(72, '65');
  put(73, '0');
  put(40, 0);
  put(0, 'ENDTAB');
  put(0, 'TABLE');
  put(2, 'LAYER');
  put(70, String(LAYERS.length));
  for (const [name, colour] of LAYERS) {
    put(0, 'LAYER');
    put(2, name);
    put(70, '0');
    put(62, String(colour));
    put(6, 'CONTINUOUS');
  }
  put(0, 'ENDTAB');
  put(0, 'ENDSEC');
  put(0, 'SECTION');
  put(2, 'ENTITIES');
  polyline('OUTLINE', net.outlineMm, true);
  for (const lead of net.leads) polyline('LEADS', lead.lineMm, false);
  for (const piece of net.pieces) {
    for (const ring of piece.sightRingsMm) polyline('SIGHT', ring, true);
    if (piece.cutRingMm.length > 2) polyline('CUT', piece.cutRingMm, true);
  }
  for (const { pieceId, labelMm, labelRadiusMm } of net.pieces) {
    const [x, y] = place(labelMm);
    put(0, 'TEXT');
    put(8, 'NUMBERS');
    put(10, x);
    put(20, y);
    put(30, 0);
    put(40, numberSizeMm(pieceId, labelRadiusMm));
    put(1, pieceId);
    // Middle, middle: the place is the second point.
    put(72, '1');
    put(11, x);
    put(21, y);
    put(31, 0);
    put(73, '2');
  }
  put(0, 'ENDSEC');
  put(0, 'EOF');
  return `${out.join('\r\n')}\r\n`;
}

function format(value: number): string {
  return (Math.round(value * 1000) / 1000 + 0).toFixed(3);
}
