/** Lines of an SVG drawing. */
import { SaxesParser, type SaxesTagPlain } from 'saxes';
import svgpath from 'svgpath';
import type { XyMm } from '../net.js';
import { CartoonError } from './cartoon.js';
import { cubicChords, svgArcChords } from './flatten-curves.js';
import { CHORD_MM, countOf, kindOfName, LineBox, type RawDrawing } from './raw-line.js';
import { shapePath } from './svg-shapes.js';

/** What holds no lines of the drawing itself. */
const NOT_DRAWN = new Set([
  'defs',
  'symbol',
  'clippath',
  'mask',
  'marker',
  'pattern',
  'style',
  'script',
  'metadata',
  'title',
  'desc',
  'foreignobject',
]);
/** What is drawn but is no line; a person is told. */
const LEFT_OUT: Readonly<Record<string, string>> = {
  text: 'text',
  image: 'picture',
  use: 'copy of another shape',
};
const DEPTH_MAX = 200;
const ELEMENTS_MAX = 200_000;

/** CSS Values 4, section 6.2: absolute lengths, in millimetres. */
const UNIT_MM: Readonly<Record<string, number>> = {
  mm: 1,
  cm: 10,
  q: 0.25,
  in: 25.4,
  pt: 25.4 / 72,
  pc: 25.4 / 6,
  px: 25.4 / 96,
};

interface Frame {
  readonly transform: string;
  readonly layer: string;
  readonly isHidden: boolean;
}

/**
 * @param unitMm millimetres in one user unit of the outermost element; else what its size says
 * @throws {CartoonError} `not-well-formed`, `unsafe`, `too-large`
 */
export function svgLines(text: string, unitMm: number | undefined): RawDrawing {
  const box = new LineBox();
  const counts = new Map<string, number>();
  const stack: Frame[] = [];
  let root: { mm: number; from: string; isAssumed: boolean } | null = null;
  let keepsFrame = false;
  let elements = 0;

  const open = (tag: SaxesTagPlain): void => {
    const name = tag.name.replace(/^svg:/, '').toLowerCase();
    const { attributes } = tag;
    if (++elements > ELEMENTS_MAX || stack.length > DEPTH_MAX) {
      throw new CartoonError(
        'too-large',
        `The SVG has more than ${ELEMENTS_MAX} elements, or they lie more than ${DEPTH_MAX} deep: that is no cartoon of one panel. Save only the layer of the leads.`,
      );
    }
    const parent = stack[stack.length - 1];
    if (parent === undefined) {
      if (name !== 'svg') {
        throw new CartoonError(
          'unknown-format',
          `This is XML, but its outermost element is ${tag.name}, not svg. Save the drawing as SVG.`,
        );
      }
      root = rootUnit(attributes, unitMm);
      stack.push({ transform: '', layer: '', isHidden: false });
      return;
    }
    const what = LEFT_OUT[name];
    if (what !== undefined && !parent.isHidden) counts.set(what, (counts.get(what) ?? 0) + 1);
    const isHidden =
      parent.isHidden ||
      NOT_DRAWN.has(name) ||
      what !== undefined ||
      /(^|;)\s*display\s*:\s*none/.test(attributes['style'] ?? '') ||
      attributes['display'] === 'none';
    const named = attributes['inkscape:label'] ?? attributes['id'] ?? '';
    const frame: Frame = {
      transform: `${parent.transform} ${attributes['transform'] ?? ''}`.trim(),
      layer: name === 'g' && named !== '' ? named : parent.layer,
      isHidden,
    };
    stack.push(frame);
    if (isHidden) return;
    const d = name === 'path' ? (attributes['d'] ?? '') : shapePath(name, attributes);
    if (d === null || d === '') return;
    keepsFrame ||= attributes['data-lead'] !== undefined;
    const layer = frame.layer === '' ? named : frame.layer;
    const face = Number(attributes['data-face-mm'] ?? Number.NaN);
    const said = kindOfName(attributes['class'] ?? '') ?? kindOfName(layer);
    for (const { points, isClosed } of pathLines(d, frame.transform, root!.mm)) {
      box.put({
        pointsMm: points,
        isClosed,
        layer,
        kind: said,
        faceWidthMm: face > 0 && face < 100 ? face : null,
      });
    }
  };

  const parser = new SaxesParser({ xmlns: false, position: true });
  parser.on('doctype', (doctype) => {
    if (!doctype.includes('[')) return;
    throw new CartoonError(
      'unsafe',
      'The SVG declares entities of its own, which are not read. Save it as plain SVG.',
    );
  });
  parser.on('error', ({ message }) => {
    throw new CartoonError(
      'not-well-formed',
      `The SVG cannot be read (line and column ${message}). Save it again as plain SVG.`,
    );
  });
  parser.on('opentag', open);
  parser.on('closetag', () => {
    stack.pop();
  });
  parser.write(text).close();
  const unit = root as { mm: number; from: string; isAssumed: boolean } | null;
  if (unit === null) throw new CartoonError('unknown-format', 'The file holds no svg element.');
  return {
    format: 'svg',
    unitMm: unit.mm,
    unitFrom: unit.from,
    isUnitAssumed: unit.isAssumed,
    keepsFrame,
    lines: box.lines,
    leftOut: countOf(counts),
  };
}

/** Millimetres in one user unit: the outermost width over its viewBox. */
function rootUnit(
  attributes: Readonly<Record<string, string>>,
  given: number | undefined,
): { mm: number; from: string; isAssumed: boolean } {
  if (given !== undefined) return { mm: given, from: 'as you said', isAssumed: false };
  const view = (attributes['viewBox'] ?? '')
    .trim()
    .split(/[\s,]+/)
    .map(Number);
  const size = [lengthMm(attributes['width']), lengthMm(attributes['height'])];
  const [width, height] = size;
  const viewWidth = view[2];
  const viewHeight = view[3];
  if (width !== undefined && viewWidth !== undefined && viewWidth > 0) {
    // preserveAspectRatio "meet", the default: the smaller of the two scales
    const scales = [width / viewWidth];
    if (height !== undefined && viewHeight !== undefined && viewHeight > 0) {
      scales.push(height / viewHeight);
    }
    return { mm: Math.min(...scales), from: 'the size and viewBox of the SVG', isAssumed: false };
  }
  if (width !== undefined && /[a-z]/i.test(attributes['width'] ?? '')) {
    return { mm: UNIT_MM['px']!, from: 'CSS: 96 units are an inch', isAssumed: false };
  }
  return { mm: UNIT_MM['px']!, from: 'nothing: taken as CSS px, 96 to the inch', isAssumed: true };
}

function lengthMm(text: string | undefined): number | undefined {
  const found = /^\s*([0-9.eE+-]+)\s*([a-zA-Z]*)\s*$/.exec(text ?? '');
  if (found === null) return undefined;
  const mm = Number(found[1]) * (UNIT_MM[found[2]!.toLowerCase() || 'px'] ?? Number.NaN);
  return mm > 0 && Number.isFinite(mm) ? mm : undefined;
}

/** Subpaths in millimetres. Units outside the transforms: the user units of the outermost element. */
function pathLines(
  d: string,
  transform: string,
  unitMm: number,
): { points: XyMm[]; isClosed: boolean }[] {
  const tolerance = CHORD_MM / unitMm;
  const lines: { points: XyMm[]; isClosed: boolean }[] = [];
  let points: XyMm[] = [];
  const end = (isClosed: boolean) => {
    if (points.length > 1) {
      lines.push({ points: points.map(([x, y]) => [x * unitMm, y * unitMm]), isClosed });
    }
    points = [];
  };
  const path = svgpath(d).transform(transform).abs().unshort();
  const fault = (path as unknown as { err: string }).err;
  if (fault !== '') {
    throw new CartoonError(
      'not-well-formed',
      `A path of the SVG cannot be read (${fault}). Save it again as plain SVG.`,
    );
  }
  path.iterate((segment, _index, x, y) => {
    const from: XyMm = [x, y];
    switch (segment[0]) {
      case 'M':
        end(false);
        points = [[segment[1], segment[2]]];
        return;
      case 'Z':
      case 'z': {
        const [start] = points;
        end(true);
        // what follows without a move starts where the closed line did
        points = start === undefined ? [] : [start];
        return;
      }
      case 'L':
        points.push([segment[1], segment[2]]);
        return;
      case 'H':
        points.push([segment[1], y]);
        return;
      case 'V':
        points.push([x, segment[1]]);
        return;
      case 'C':
        points.push(
          ...cubicChords(
            from,
            [segment[1], segment[2]],
            [segment[3], segment[4]],
            [segment[5], segment[6]],
            tolerance,
          ),
        );
        return;
      case 'Q': {
        const [, qx, qy, ex, ey] = segment;
        points.push(
          ...cubicChords(
            from,
            [x + (2 / 3) * (qx - x), y + (2 / 3) * (qy - y)],
            [ex + (2 / 3) * (qx - ex), ey + (2 / 3) * (qy - ey)],
            [ex, ey],
            tolerance,
          ),
        );
        return;
      }
      case 'A':
        points.push(
          ...svgArcChords(
            from,
            [segment[1], segment[2], segment[3], segment[4], segment[5]],
            [segment[6], segment[7]],
            tolerance,
          ),
        );
    }
  });
  end(false);
  return lines;
}
