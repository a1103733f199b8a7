/** A drawing of new work (SVG, DXF, GeoJSON) read as a sketch of leads. */
import { MIRRORED_WORDS } from '../drawing-words.js';
import type { NetSketch, XyMm } from '../net.js';
import { boundsMm, roundXy } from '../ring.js';
import {
  type Cartoon,
  CartoonError,
  type CartoonFormat,
  type CartoonOptions,
  type CartoonRepair,
} from './cartoon.js';
import { chooseLayers, layersOf, shown } from './choose-layers.js';
import { dxfLines } from './dxf-lines.js';
import { geojsonLines } from './geojson-lines.js';
import { type PlanarSketch, planarSketch } from './planar-sketch.js';
import type { RawDrawing, RawLine } from './raw-line.js';
import { withPlace } from './say-place.js';
import { svgLines } from './svg-lines.js';

const TOLERANCE_MM = 0.5;
const FACE_MM = 6;
/** One panel lies within this; a drawing of another size is in another unit. */
const SIZE_MM: readonly [number, number] = [30, 4000];
/** So many leads that end free at the edge: the edge is not drawn. */
const FREE_AT_EDGE = 3;

/**
 * Reads a drawing of new work as a sketch for `buildNet`, in millimetres. Curves become chords
 * within 0.05 mm; gaps up to the tolerance are closed, crossings get joints, doubled lines are kept
 * once, what bounds no piece is left out. Everything that was put right is a sentence with a place.
 *
 * @throws {CartoonError} with a sentence on what to do
 */
export function readCartoon(text: string, options: CartoonOptions = {}): Cartoon {
  const { toleranceMm = TOLERANCE_MM, faceWidthMm = FACE_MM, outline = 'drawn' } = options;
  const asSaved = rawDrawing(text, options);
  if (asSaved.lines.length === 0) throw noLines(asSaved);
  const isMirrored = text.includes(MIRRORED_WORDS);
  const drawing = isMirrored ? turnedOver(asSaved) : asSaved;
  const choice = chooseLayers(drawing.lines, options.layers);
  let used = choice.leads;
  const linesOf = (layers: ReadonlySet<string>) =>
    drawing.lines.filter(({ layer }) => layers.has(layer));
  checkSize(linesOf(used), drawing);
  const read = (layers: ReadonlySet<string>) =>
    planarSketch(withBox(linesOf(layers), outline), toleranceMm, faceWidthMm);
  let found = read(used);
  if (choice.edges.size > 0 && (found.freeLines > 0 || found.sketch.leads.length === 0)) {
    const withEdges = new Set([...used, ...choice.edges]);
    const again = read(withEdges);
    if (again.freeLines < found.freeLines || found.sketch.leads.length === 0) {
      found = again;
      used = withEdges;
    }
  }
  checkClosed(found, outline);
  const { sketch, shift } = framed(found.sketch, drawing.keepsFrame);
  const repairs = [
    ...ownRepairs(drawing, linesOf(used), used, outline, isMirrored),
    ...found.repairs,
  ].map((repair): CartoonRepair => {
    const xyMm = repair.xyMm === null ? null : roundXy(moved(repair.xyMm, shift));
    return { ...repair, xyMm, sentence: withPlace(repair.sentence, xyMm) };
  });
  const box = boundsMm(sketch.leads.flatMap(({ lineMm }) => lineMm));
  return {
    format: drawing.format,
    unitMm: drawing.unitMm,
    unitFrom: drawing.unitFrom,
    widthMm: box.maxX - box.minX,
    heightMm: box.maxY - box.minY,
    layers: layersOf(drawing.lines, used),
    sketch,
    repairs,
  };
}

function noLines({ leftOut }: RawDrawing): CartoonError {
  return new CartoonError(
    'no-lines',
    `The file holds no lines${leftOut.length === 0 ? '' : ` (only ${leftOut.join(', ')})`}. Save the drawing with its lines as paths.`,
  );
}

/** Left to right about the middle of all its lines, the panel's edge among them, as it was turned when it was saved. */
function turnedOver(drawing: RawDrawing): RawDrawing {
  const { minX, maxX } = boundsMm(drawing.lines.flatMap(({ pointsMm }) => pointsMm));
  return {
    ...drawing,
    lines: drawing.lines.map((line) => ({
      ...line,
      pointsMm: line.pointsMm.map(([x, y]): XyMm => [minX + maxX - x, y]),
    })),
  };
}

function rawDrawing(text: string, { fileName, unitMm }: CartoonOptions): RawDrawing {
  const format = formatOf(text, fileName);
  if (format === 'svg') return svgLines(text, unitMm);
  if (format === 'dxf') return dxfLines(text, unitMm);
  return geojsonLines(text, unitMm);
}

function formatOf(text: string, fileName: string | undefined): CartoonFormat {
  const start = text
    .slice(0, 4000)
    .replace(/^\uFEFF/, '')
    .trimStart();
  if (start.startsWith('<')) return 'svg';
  if (start.startsWith('{')) return 'geojson';
  if (/^\d+[ \t]*\r?\n/.test(start)) return 'dxf';
  const ending = /\.(\w+)$/.exec(fileName ?? '')?.[1]?.toLowerCase();
  if (ending === 'dxf' && start.includes('Binary DXF')) {
    throw new CartoonError(
      'unknown-format',
      'This is a binary DXF. Save it as a text DXF (also called ASCII DXF).',
    );
  }
  throw new CartoonError(
    'unknown-format',
    `This is no SVG, DXF or GeoJSON drawing${ending === undefined ? '' : `, though its name ends in ${ending}`}. Save the cartoon in one of these formats.`,
  );
}

function checkSize(
  lines: readonly RawLine[],
  { unitMm, unitFrom, isUnitAssumed }: RawDrawing,
): void {
  const box = boundsMm(lines.flatMap(({ pointsMm }) => pointsMm));
  const size = [box.maxX - box.minX, box.maxY - box.minY] as const;
  const [least, most] = SIZE_MM;
  if (Math.max(...size) <= most && Math.min(...size) >= least) return;
  throw new CartoonError(
    isUnitAssumed ? 'unit-unknown' : 'size-unlikely',
    `The drawing would be ${size[0].toFixed(1)} × ${size[1].toFixed(1)} mm with ${Number(unitMm.toPrecision(6))} mm to the unit (from ${unitFrom}); one panel is ${least} mm to ${most} mm. Say how many millimetres one unit is.`,
  );
}

function withBox(lines: readonly RawLine[], outline: 'drawn' | 'box'): readonly RawLine[] {
  if (outline === 'drawn') return lines;
  const { minX, minY, maxX, maxY } = boundsMm(lines.flatMap(({ pointsMm }) => pointsMm));
  const pointsMm: XyMm[] = [
    [minX, minY],
    [maxX, minY],
    [maxX, maxY],
    [minX, maxY],
  ];
  return [...lines, { pointsMm, isClosed: true, layer: '', kind: null, faceWidthMm: null }];
}

function checkClosed({ sketch, freeAtEdgeMm }: PlanarSketch, outline: 'drawn' | 'box'): void {
  if (outline === 'drawn' && freeAtEdgeMm.length >= FREE_AT_EDGE) {
    throw new CartoonError(
      'no-outline',
      `${freeAtEdgeMm.length} ends lie free at the edge of the drawing: the outer edge is not drawn, or its layer was not taken. Draw it, name its layer, or let the rectangle round the lines be the edge.`,
      freeAtEdgeMm[0],
    );
  }
  if (sketch.leads.length === 0) {
    throw new CartoonError(
      'does-not-close',
      'No lines of the drawing close round a piece of glass. Draw the outer edge, give a larger tolerance, or name the layer that holds the leads.',
    );
  }
}

/** The outer edge's top left corner to the origin, unless the file is in the panel's frame already. */
function framed(sketch: NetSketch, keepsFrame: boolean): { sketch: NetSketch; shift: XyMm } {
  if (keepsFrame) return { sketch, shift: [0, 0] };
  const rim = sketch.leads.filter(({ kind }) => kind === 'outer');
  const box = boundsMm((rim.length > 0 ? rim : sketch.leads).flatMap(({ lineMm }) => lineMm));
  const half =
    Math.max(...(rim.length > 0 ? rim : sketch.leads).map((lead) => lead.faceWidthMm)) / 2;
  const shift = roundXy([half - box.minX, half - box.minY]);
  return {
    shift,
    sketch: {
      nodes: sketch.nodes.map(({ xyMm }) => ({ xyMm: moved(xyMm, shift) })),
      leads: sketch.leads.map((lead) => ({
        ...lead,
        lineMm: lead.lineMm.map((xyMm) => moved(xyMm, shift)),
      })),
    },
  };
}

function moved([x, y]: XyMm, [dx, dy]: XyMm): XyMm {
  return roundXy([x + dx, y + dy]);
}

function ownRepairs(
  drawing: RawDrawing,
  lines: readonly RawLine[],
  used: ReadonlySet<string>,
  outline: 'drawn' | 'box',
  isMirrored: boolean,
): CartoonRepair[] {
  const out: CartoonRepair[] = [];
  const say = (kind: CartoonRepair['kind'], sentence: string) =>
    out.push({ kind, sentence, xyMm: null });
  if (drawing.isUnitAssumed) {
    say('unit-assumed', `The file states no unit (${drawing.unitFrom}). Check the size.`);
  }
  for (const { name, lines: n, isUsed } of layersOf(drawing.lines, used)) {
    if (!isUsed)
      say(
        'left-out',
        `The layer ${shown(name)} with ${n} ${n === 1 ? 'line' : 'lines'} was left out.`,
      );
  }
  for (const what of drawing.leftOut) say('left-out', `${what} left out: only lines are read.`);
  if (isMirrored) {
    say(
      'turned-over',
      'The drawing says that it is mirrored, as seen from outside: it was turned over, so that it is seen from inside.',
    );
  }
  if (outline === 'box')
    say('outline-made', 'The rectangle round the lines was taken as the outer edge.');
  if (lines.every(({ faceWidthMm }) => faceWidthMm === null)) {
    say('width-assumed', 'The file gives no face widths: every lead has the width that you chose.');
  }
  return out;
}
