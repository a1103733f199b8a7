/** Any shape in millimetres as a file to cut from: what is missing of a piece, an infill. */
import { DxfFile } from '../dxf-file.js';
import type { XyMm } from '../net.js';
import { DXF_LAYERS } from '../net-dxf.js';
import { boundsMm } from '../ring.js';
import { escapeXml, svgNumber } from '../svg-path.js';

export interface CutShape {
  readonly name: string;
  /** Outer ring first, then holes; closing edge implied. */
  readonly ringsMm: readonly (readonly XyMm[])[];
}

export interface ShapeFileOptions {
  readonly title: string;
  /** Turned over, for glass that is cut from its back. */
  readonly mirrored?: boolean;
}

const MARGIN_MM = 10;
const NAME_MM = 4;

/** Each shape is one path, true to size and in its place to the others. Source: SVG 1.1, one unit one millimetre. */
export function shapesSvg(shapes: readonly CutShape[], options: ShapeFileOptions): string {
  const { sizeMm, place } = sheet(shapes, options);
  const [width, height] = sizeMm.map(svgNumber);
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${width}mm" height="${height}mm" viewBox="0 0 ${width} ${height}">`,
    `<title>${escapeXml(options.title)}</title>`,
    `<desc>${escapeXml(words(options))}</desc>`,
    '<style>.cut{fill:none;stroke:#1c1b19;stroke-width:.2;fill-rule:evenodd}text{font-family:sans-serif;fill:#1c1b19;text-anchor:middle}</style>',
    ...shapes.map(({ name, ringsMm }) => {
      const path = ringsMm.map((ring) => `M${ring.map(place).map(svgXy).join('L')}Z`).join('');
      const { minX, maxX, maxY } = boundsMm(ringsMm[0]!.map(place));
      return (
        `<g data-shape="${escapeXml(name)}"><path class="cut" d="${path}"/>` +
        `<text x="${svgNumber((minX + maxX) / 2)}" y="${svgNumber(maxY + NAME_MM + 1)}" font-size="${NAME_MM}">${escapeXml(name)}</text></g>`
      );
    }),
    '</svg>',
    '',
  ].join('\n');
}

/** The same as DXF: layers GLASS_CUT (closed polylines), PIECE_NUMBERS, NOTES. */
export function shapesDxf(shapes: readonly CutShape[], options: ShapeFileOptions): string {
  const { sizeMm, place } = sheet(shapes, options);
  const layers = [DXF_LAYERS.glassCut, DXF_LAYERS.pieceNumbers, DXF_LAYERS.notes];
  const file = new DxfFile(layers, sizeMm, [options.title, words(options)]);
  const up = (xyMm: XyMm): XyMm => {
    const [x, y] = place(xyMm);
    return [x, sizeMm[1] - y];
  };
  for (const { name, ringsMm } of shapes) {
    for (const ring of ringsMm) {
      const vertices = ring.map((xyMm) => ({ xyMm: up(xyMm), bulge: 0 }));
      file.polyline(DXF_LAYERS.glassCut.name, vertices, true, { name });
    }
    const { minX, maxX, minY } = boundsMm(ringsMm[0]!.map(up));
    file.text({
      layer: DXF_LAYERS.pieceNumbers.name,
      text: name,
      atMm: [(minX + maxX) / 2, minY - NAME_MM],
      heightMm: NAME_MM,
      isCentred: true,
    });
  }
  file.writeComments(DXF_LAYERS.notes.name);
  return file.toString();
}

function words({ mirrored }: ShapeFileOptions): string {
  const seen = mirrored === true ? 'Turned over: as seen from outside.' : 'As seen from inside.';
  return `Scale 1:1. One unit is one millimetre. ${seen} Lay a print over the gap before you cut.`;
}

function sheet(shapes: readonly CutShape[], { mirrored }: ShapeFileOptions) {
  const box = boundsMm(shapes.flatMap(({ ringsMm }) => ringsMm[0]!));
  const [width, height] = [box.maxX - box.minX, box.maxY - box.minY];
  const sizeMm: XyMm = [width + 2 * MARGIN_MM, height + 2 * MARGIN_MM];
  const place = ([x, y]: XyMm): XyMm => [
    (mirrored === true ? box.maxX - x : x - box.minX) + MARGIN_MM,
    y - box.minY + MARGIN_MM,
  ];
  return { sizeMm, place };
}

const svgXy = ([x, y]: XyMm): string => `${svgNumber(x)} ${svgNumber(y)}`;
