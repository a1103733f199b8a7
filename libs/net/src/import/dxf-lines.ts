/** Lines of a DXF drawing, in millimetres, y turned to point down. */
import type { XyMm } from '../net.js';
import { CartoonError } from './cartoon.js';
import { entityChords } from './dxf-chords.js';
import { type DxfEntity, type DxfSections, dxfSections, first } from './dxf-tags.js';
import { CHORD_MM, countOf, kindOfName, LineBox, type RawDrawing } from './raw-line.js';

/** $INSUNITS of the header: 1 inches, 2 feet, 4 mm, 5 cm, 6 m, 10 yards, 14 dm. Source: DXF reference (from memory). */
const UNIT_MM: Readonly<Record<string, readonly [mm: number, name: string]>> = {
  1: [25.4, 'inches'],
  2: [304.8, 'feet'],
  4: [1, 'millimetres'],
  5: [10, 'centimetres'],
  6: [1000, 'metres'],
  10: [914.4, 'yards'],
  14: [100, 'decimetres'],
};

const DEPTH_MAX = 8;
const INSERTS_MAX = 20_000;
/** What is no line of the drawing; a person is told. */
const LEFT_OUT: Readonly<Record<string, string>> = {
  TEXT: 'text',
  MTEXT: 'text',
  ATTDEF: 'text',
  DIMENSION: 'dimension',
  LEADER: 'pointer',
  HATCH: 'hatch',
  SOLID: 'filled area',
  POINT: 'point',
  IMAGE: 'picture',
  VIEWPORT: 'view',
  '3DFACE': 'surface',
};

/** Row-major 2 × 3: file units of a block → those of the drawing. */
type Affine = readonly [number, number, number, number, number, number];

/**
 * @param unitMm millimetres in one drawing unit; else what the header says
 * @throws {CartoonError} `not-well-formed`, `too-large`
 */
export function dxfLines(text: string, unitMm: number | undefined): RawDrawing {
  const sections = dxfSections(text);
  const unit = unitOf(sections, unitMm);
  const box = new LineBox();
  const counts = new Map<string, number>();
  let inserts = 0;

  const walk = (
    entities: readonly DxfEntity[],
    affine: Affine,
    layerOfInsert: string,
    depth: number,
  ): void => {
    for (const entity of entities) {
      const own = first(entity.tags, 8) ?? '0';
      const layer = own === '0' && layerOfInsert !== '' ? layerOfInsert : own;
      const isPaper = first(entity.tags, 67) === '1' && depth === 0;
      const isHidden = first(entity.tags, 60) === '1' || sections.hiddenLayers.has(layer);
      if (isPaper || isHidden) {
        count(counts, isPaper ? 'line on the paper’s layout' : 'line of a hidden layer');
        continue;
      }
      if (entity.type === 'INSERT') {
        const block = sections.blocks.get(first(entity.tags, 2) ?? '');
        if (block === undefined) continue;
        for (const inner of placesOf(entity, block.base)) {
          if (++inserts > INSERTS_MAX || depth >= DEPTH_MAX) {
            throw new CartoonError(
              'too-large',
              'The DXF puts blocks into blocks too often. Break them up into plain lines and save it again.',
            );
          }
          walk(block.entities, product(affine, inner), layer, depth + 1);
        }
        continue;
      }
      const shape = entityChords(entity, CHORD_MM / (unit.mm * scaleOf(affine)));
      if (shape === null) {
        const what = LEFT_OUT[entity.type] ?? `${entity.type} entity`;
        count(counts, what);
        continue;
      }
      box.put({
        pointsMm: shape.points.map(([x, y]): XyMm => {
          const [a, b, c, d, e, f] = affine;
          return [(a * x + b * y + c) * unit.mm, -(d * x + e * y + f) * unit.mm];
        }),
        isClosed: shape.isClosed,
        layer,
        kind: kindOfName(layer),
        faceWidthMm: faceOf(entity),
      });
    }
  };
  walk(sections.entities, [1, 0, 0, 0, 1, 0], '', 0);
  return {
    format: 'dxf',
    unitMm: unit.mm,
    unitFrom: unit.from,
    isUnitAssumed: unit.isAssumed,
    keepsFrame: false,
    lines: box.lines,
    leftOut: countOf(counts),
  };
}

function unitOf({ header }: DxfSections, given: number | undefined) {
  if (given !== undefined) return { mm: given, from: 'as you said', isAssumed: false };
  const stated = UNIT_MM[header.get('$INSUNITS') ?? ''];
  return stated === undefined
    ? { mm: 1, from: 'nothing: taken as millimetres', isAssumed: true }
    : { mm: stated[0], from: `the header: ${stated[1]}`, isAssumed: false };
}

/** Face width that this program's own files carry beside each lead. */
function faceOf({ tags }: DxfEntity): number | null {
  const app = tags.findIndex(([code, value]) => code === 1001 && value === 'MULLION');
  if (app < 0) return null;
  const face = tags.slice(app).find(([code]) => code === 1040);
  const mm = Number(face?.[1]);
  return mm > 0 && mm < 100 ? mm : null;
}

/** Where an INSERT puts its block, once for each row and column. */
function* placesOf({ tags }: DxfEntity, [baseX, baseY]: readonly [number, number]) {
  const n = (code: number, other: number) => {
    const value = Number(first(tags, code) ?? other);
    return Number.isFinite(value) ? value : other;
  };
  const turn = (n(50, 0) * Math.PI) / 180;
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  const isTurnedOver = n(230, 1) < 0;
  const [sx, sy] = [n(41, 1), n(42, 1)];
  for (let row = 0; row < Math.max(1, n(71, 1)); row++) {
    for (let column = 0; column < Math.max(1, n(70, 1)); column++) {
      const [ox, oy] = [column * n(44, 0), row * n(45, 0)];
      // block → scaled about its base → turned → placed
      const a: Affine = [
        cos * sx,
        -sin * sy,
        n(10, 0) + cos * (ox - baseX * sx) - sin * (oy - baseY * sy),
        sin * sx,
        cos * sy,
        n(20, 0) + sin * (ox - baseX * sx) + cos * (oy - baseY * sy),
      ];
      yield isTurnedOver ? product([-1, 0, 0, 0, 1, 0], a) : a;
    }
  }
}

function product(p: Affine, q: Affine): Affine {
  return [
    p[0] * q[0] + p[1] * q[3],
    p[0] * q[1] + p[1] * q[4],
    p[0] * q[2] + p[1] * q[5] + p[2],
    p[3] * q[0] + p[4] * q[3],
    p[3] * q[1] + p[4] * q[4],
    p[3] * q[2] + p[4] * q[5] + p[5],
  ];
}

function scaleOf([a, b, , d, e]: Affine): number {
  return Math.max(Math.hypot(a, d), Math.hypot(b, e), 1e-9);
}

function count(counts: Map<string, number>, what: string): void {
  counts.set(what, (counts.get(what) ?? 0) + 1);
}
