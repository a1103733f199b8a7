/** Signs as SVG: patterns for areas, strokes for lines, shapes for points, and the legend. */
import { inkOf, OKABE_ITO } from './colours.js';
import {
  AREA_HATCHES,
  type HatchTile,
  LINE_STROKES,
  type LineStroke,
  POINT_SHAPES,
  type PointShape,
  type Xy,
} from './hatches.js';
import type { FindingTerm } from './terms.js';

/**
 * A `<pattern>` for the area sign of a term, in user units of one millimetre; fill with
 * `url(#<idPrefix><key>)`. Empty for a term that is never an area.
 */
export function areaPatternSvg(term: FindingTerm, idPrefix = 'hatch-'): string {
  const name = term.sign.area;
  if (name === undefined) return '';
  const tile: HatchTile = AREA_HATCHES[name];
  const { ink, tint, tintOpacity } = inkOf(term.sign.colour);
  return (
    `<pattern id="${idPrefix}${term.key}" width="${tile.widthMm}" height="${tile.heightMm}" patternUnits="userSpaceOnUse">` +
    `<rect width="${tile.widthMm}" height="${tile.heightMm}" fill="${tint}" fill-opacity="${tintOpacity}"/>` +
    tile.lines.map((line) => polyline(line, ink, tile.strokeMm)).join('') +
    tile.dots.map(([x, y, r]) => `<circle cx="${x}" cy="${y}" r="${r}" fill="${ink}"/>`).join('') +
    tile.rings
      .map(
        ([x, y, r]) =>
          `<circle cx="${x}" cy="${y}" r="${r}" fill="none" stroke="${ink}" stroke-width="${tile.strokeMm}"/>`,
      )
      .join('') +
    '</pattern>'
  );
}

/** One finding as SVG in millimetres; the pattern of its term must be in the document's defs. */
export function findingSvg(
  term: FindingTerm,
  kind: 'point' | 'line' | 'area',
  xyMm: readonly Xy[],
  idPrefix = 'hatch-',
): string {
  const colour = OKABE_ITO[term.sign.colour];
  const edge = inkOf(term.sign.colour).ink;
  if (kind === 'area') {
    return `<path d="${path(xyMm)}Z" fill="url(#${idPrefix}${term.key})" stroke="${edge}" stroke-width=".4"/>`;
  }
  if (kind === 'line') {
    const stroke: LineStroke = LINE_STROKES[term.sign.line ?? 'plain'];
    // A pale line gets a dark edge: the same line, wider, under it.
    const halo =
      edge !== colour
        ? `<path d="${path(xyMm)}" fill="none" stroke="${edge}" stroke-width="${stroke.strokeMm + 0.35}"${dash(stroke)}/>`
        : '';
    return `${halo}<path d="${path(xyMm)}" fill="none" stroke="${colour}" stroke-width="${stroke.strokeMm}" stroke-linejoin="round"${dash(stroke)}/>${lineMarks(
      stroke,
      xyMm,
    )
      .map((line) => polyline(line, edge, 0.35))
      .join('')}`;
  }
  const shape: PointShape = POINT_SHAPES[term.sign.point ?? 'disc'];
  return xyMm
    .map(([x, y]) => {
      const fill = shape.isFilled ? colour : 'none';
      const lines = shape.lines.map(
        (line) =>
          `<path d="${path(line.map(([dx, dy]): Xy => [dx + x, dy + y]))}" fill="${fill}" stroke="${edge}" stroke-width=".5"/>`,
      );
      const rings = shape.rings.map(
        ([dx, dy, r]) =>
          `<circle cx="${num(dx + x)}" cy="${num(dy + y)}" r="${r}" fill="${fill}" stroke="${edge}" stroke-width=".5"/>`,
      );
      return [...lines, ...rings].join('');
    })
    .join('');
}

/** Small marks of a line's stroke, placed and turned along it, as polylines in the line's frame. */
export function lineMarks(stroke: LineStroke, line: readonly Xy[]): Xy[][] {
  if (stroke.marks === null) return [];
  const { everyMm, lines } = stroke.marks;
  const reach = lines.flat().map(([x]) => x);
  const ahead = Math.max(...reach);
  // Marks that only reach forwards (rails) begin at the line's start; others sit in the middle of
  // their stretch. None stands out beyond the end.
  const isForward = Math.min(...reach) >= 0 && ahead > 0;
  const whole = line
    .slice(1)
    .reduce((sum, [x, y], i) => sum + Math.hypot(x - line[i]![0], y - line[i]![1]), 0);
  const out: Xy[][] = [];
  let along = isForward ? 0 : everyMm / 2;
  let start = 0;
  for (let i = 1; i < line.length; i++) {
    const [ax, ay] = line[i - 1]!;
    const [bx, by] = line[i]!;
    const length = Math.hypot(bx - ax, by - ay);
    while (length > 0 && along <= start + length && along + ahead <= whole + 1e-6) {
      const t = (along - start) / length;
      const [px, py] = [ax + t * (bx - ax), ay + t * (by - ay)];
      const [ux, uy] = [(bx - ax) / length, (by - ay) / length];
      for (const mark of lines) {
        out.push(mark.map(([x, y]): Xy => [px + x * ux - y * uy, py + x * uy + y * ux]));
      }
      along += everyMm;
    }
    start += length;
  }
  return out;
}

export interface LegendOptions {
  readonly columns?: number;
  readonly columnWidthMm?: number;
  readonly title?: string;
}

/** Row height and swatch of the legend, mm. */
const ROW_MM = 8;
const SWATCH_MM = 16;

/**
 * The legend of some terms: swatch and label in columns. A stand-alone SVG in millimetres.
 *
 * A term drawn in several ways shows each of its signs in one swatch.
 */
export function legendSvg(terms: readonly FindingTerm[], options: LegendOptions = {}): string {
  const { columns = 2, columnWidthMm = 84, title } = options;
  const top = title === undefined ? 2 : 10;
  const rows = Math.ceil(terms.length / columns);
  const width = columns * columnWidthMm;
  const height = top + rows * ROW_MM + 2;
  const body = terms.map((term, i) => {
    const x = Math.floor(i / rows) * columnWidthMm;
    const y = top + (i % rows) * ROW_MM;
    return `<g transform="translate(${x} ${y})">${swatchSvg(term, 'legend-')}<text x="${SWATCH_MM + 4}" y="5" font-size="3.6">${escapeXml(term.label)}</text></g>`;
  });
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${width}mm" height="${height}mm" viewBox="0 0 ${width} ${height}" font-family="Atkinson Hyperlegible Next, sans-serif">`,
    `<defs>${terms.map((term) => areaPatternSvg(term, 'legend-')).join('')}</defs>`,
    ...(title === undefined
      ? []
      : [`<text x="0" y="5" font-size="4.4" font-weight="600">${escapeXml(title)}</text>`]),
    ...body,
    '</svg>',
  ].join('\n');
}

/** Swatch of 16 × 6 mm at the origin; the pattern with the same prefix must be in the defs. */
export function swatchSvg(term: FindingTerm, idPrefix = 'hatch-'): string {
  return swatchParts(term)
    .map(({ kind, xyMm }) => findingSvg(term, kind, xyMm, idPrefix))
    .join('');
}

/** What a swatch of 16 × 6 mm shows: an area, a line and a point, side by side as they apply. */
export function swatchParts(
  term: FindingTerm,
): { kind: 'point' | 'line' | 'area'; xyMm: readonly Xy[] }[] {
  const kinds = (['area', 'line', 'point'] as const).filter((kind) =>
    term.geometries.includes(kind),
  );
  const width = SWATCH_MM / kinds.length;
  return kinds.map((kind, i) => {
    const left = i * width;
    const right = left + width - (i < kinds.length - 1 ? 1 : 0);
    if (kind === 'area') {
      return {
        kind,
        xyMm: [
          [left, 0.4],
          [right, 0.4],
          [right, 6],
          [left, 6],
        ],
      };
    }
    if (kind === 'line') {
      return {
        kind,
        xyMm: [
          [left + 0.5, 4],
          [left + width * 0.4, 2.6],
          [right - 0.5, 3.4],
        ],
      };
    }
    return { kind, xyMm: [[(left + right) / 2, 3.2]] };
  });
}

function dash({ dashMm }: LineStroke): string {
  return dashMm.length === 0 ? '' : ` stroke-dasharray="${dashMm.join(' ')}"`;
}

function polyline(line: readonly Xy[], colour: string, widthMm: number): string {
  return `<path d="${path(line)}" fill="none" stroke="${colour}" stroke-width="${widthMm}"/>`;
}

function path(line: readonly Xy[]): string {
  return line.map(([x, y], i) => `${i === 0 ? 'M' : 'L'}${num(x)} ${num(y)}`).join('');
}

function num(value: number): string {
  return String(Math.round(value * 1000) / 1000 + 0);
}

function escapeXml(text: string): string {
  return text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('"', '&quot;');
}
