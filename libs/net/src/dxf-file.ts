/**
 * An ASCII DXF file of release 2000 (AC1015) in millimetres: header, tables, blocks, entities and
 * objects as strict readers ask for them, and no more.
 *
 * Own code because the packages at hand write an older form or need a Node runtime.
 * Source: group codes and required tables of the DXF reference for release 2000 (from memory); read
 * back by other programs in the tests and in the conformance run.
 */
import type { BulgeVertex } from './curve/bulges.js';
import type { XyMm } from './net.js';

export interface DxfLayer {
  readonly name: string;
  /** Colour index of the format: 1 red, 4 cyan, 5 blue, 7 black or white, 8 grey … */
  readonly colour: number;
  readonly isDashed?: boolean;
}

export interface DxfText {
  readonly layer: string;
  readonly text: string;
  readonly atMm: XyMm;
  readonly heightMm: number;
  /** Middle of the text at the place, else its left foot. */
  readonly isCentred: boolean;
}

type Value = string | number;

const APP = 'MULLION';

/** Collects entities (y up, lower left at 0, 0) and gives the file. */
export class DxfFile {
  readonly #entities: string[] = [];
  // 1-2F are the fixed parts of the file, 40-FF its layers.
  #handle = 0x100;

  constructor(
    readonly layers: readonly DxfLayer[],
    readonly sizeMm: XyMm,
    readonly comments: readonly string[],
  ) {}

  /** @param data name and figure that readers who do not know them skip (extended data) */
  polyline(
    layer: string,
    vertices: readonly BulgeVertex[],
    isClosed: boolean,
    data?: { readonly name: string; readonly faceMm?: number },
  ): void {
    this.#begin('LWPOLYLINE', layer);
    this.#put(100, 'AcDbPolyline', 90, String(vertices.length), 70, isClosed ? '1' : '0', 43, 0);
    for (const { xyMm, bulge } of vertices) {
      this.#put(10, xyMm[0], 20, xyMm[1]);
      if (bulge !== 0) this.#put(42, exact(bulge));
    }
    if (data === undefined) return;
    this.#put(1001, APP, 1000, data.name);
    if (data.faceMm !== undefined) this.#put(1040, data.faceMm);
  }

  text({ layer, text, atMm: [x, y], heightMm, isCentred }: DxfText): void {
    this.#begin('TEXT', layer);
    this.#put(100, 'AcDbText', 10, x, 20, y, 30, 0, 40, heightMm, 1, plainText(text));
    if (isCentred) this.#put(72, '1', 11, x, 21, y, 31, 0);
    this.#put(100, 'AcDbText');
    if (isCentred) this.#put(73, '2');
  }

  /** The file's comments once more where a person reads them: below the drawing. */
  writeComments(layer: string): void {
    this.comments.forEach((text, i) => {
      this.text({ layer, text, atMm: [0, -10 - 6 * i], heightMm: 4, isCentred: false });
    });
  }

  toString(): string {
    const head: string[] = [];
    const put = (...pairs: Value[]) => {
      push(head, pairs);
    };
    for (const comment of this.comments) put(999, plainText(comment));
    const [width, height] = this.sizeMm;
    put(0, 'SECTION', 2, 'HEADER', 9, '$ACADVER', 1, 'AC1015', 9, '$DWGCODEPAGE', 3, 'ANSI_1252');
    put(9, '$INSUNITS', 70, '4', 9, '$MEASUREMENT', 70, '1', 9, '$LUNITS', 70, '2');
    put(9, '$EXTMIN', 10, 0, 20, 0, 30, 0, 9, '$EXTMAX', 10, width, 20, height, 30, 0);
    put(9, '$HANDSEED', 5, this.#handle.toString(16).toUpperCase(), 0, 'ENDSEC');
    put(0, 'SECTION', 2, 'CLASSES', 0, 'ENDSEC');
    put(0, 'SECTION', 2, 'TABLES');
    tables(put, this.layers, this.sizeMm);
    put(0, 'ENDSEC');
    put(0, 'SECTION', 2, 'BLOCKS');
    block(put, '*Model_Space', '20', '21', '22');
    block(put, '*Paper_Space', '23', '24', '25');
    put(0, 'ENDSEC', 0, 'SECTION', 2, 'ENTITIES');
    const tail: string[] = [];
    push(tail, [0, 'ENDSEC', 0, 'SECTION', 2, 'OBJECTS']);
    push(tail, [0, 'DICTIONARY', 5, 'C', 330, '0', 100, 'AcDbDictionary', 281, '1']);
    push(tail, [3, 'ACAD_GROUP', 350, 'D']);
    push(tail, [0, 'DICTIONARY', 5, 'D', 330, 'C', 100, 'AcDbDictionary', 281, '1']);
    push(tail, [0, 'ENDSEC', 0, 'EOF']);
    return `${[...head, ...this.#entities, ...tail].join('\r\n')}\r\n`;
  }

  #begin(kind: string, layer: string): void {
    const handle = (this.#handle++).toString(16).toUpperCase();
    this.#put(0, kind, 5, handle, 330, '20', 100, 'AcDbEntity', 8, layer);
  }

  #put(...pairs: Value[]): void {
    push(this.#entities, pairs);
  }
}

type Put = (...pairs: Value[]) => void;

function tables(put: Put, layers: readonly DxfLayer[], [width, height]: XyMm): void {
  const table = (name: string, handle: string, count: number) => {
    put(0, 'TABLE', 2, name, 5, handle, 330, '0', 100, 'AcDbSymbolTable', 70, String(count));
  };
  const record = (kind: string, handle: string, owner: string, subclass: string) => {
    put(0, kind, 5, handle, 330, owner, 100, 'AcDbSymbolTableRecord', 100, subclass);
  };

  table('VPORT', '1', 1);
  record('VPORT', '10', '1', 'AcDbViewportTableRecord');
  put(2, '*Active', 70, '0', 10, 0, 20, 0, 11, 1, 21, 1, 12, width / 2, 22, height / 2);
  put(13, 0, 23, 0, 14, 10, 24, 10, 15, 10, 25, 10, 16, 0, 26, 0, 36, 1, 17, 0, 27, 0, 37, 0);
  put(40, height * 1.1, 41, 1.4, 42, 50, 43, 0, 44, 0, 50, 0, 51, 0, 71, '0', 72, '1000', 73, '1');
  put(74, '3', 75, '0', 76, '0', 77, '0', 78, '0', 0, 'ENDTAB');

  table('LTYPE', '2', 4);
  for (const [name, handle] of [
    ['ByBlock', '11'],
    ['ByLayer', '12'],
    ['Continuous', '13'],
  ] as const) {
    record('LTYPE', handle, '2', 'AcDbLinetypeTableRecord');
    put(2, name, 70, '0', 3, '', 72, '65', 73, '0', 40, 0);
  }
  record('LTYPE', '14', '2', 'AcDbLinetypeTableRecord');
  put(2, 'DASHED', 70, '0', 3, 'Dashed', 72, '65', 73, '2', 40, 4, 49, 3, 74, '0', 49, -1, 74, '0');
  put(0, 'ENDTAB');

  table('LAYER', '3', layers.length + 1);
  [{ name: '0', colour: 7 }, ...layers].forEach((layer: DxfLayer, i) => {
    record('LAYER', (0x40 + i).toString(16).toUpperCase(), '3', 'AcDbLayerTableRecord');
    put(2, layer.name, 70, '0', 62, String(layer.colour));
    put(6, layer.isDashed === true ? 'DASHED' : 'Continuous');
  });
  put(0, 'ENDTAB');

  table('STYLE', '4', 1);
  record('STYLE', '15', '4', 'AcDbTextStyleTableRecord');
  put(2, 'Standard', 70, '0', 40, 0, 41, 1, 50, 0, 71, '0', 42, 2.5, 3, 'txt', 4, '', 0, 'ENDTAB');
  table('VIEW', '5', 0);
  put(0, 'ENDTAB');
  table('UCS', '6', 0);
  put(0, 'ENDTAB');
  table('APPID', '7', 2);
  record('APPID', '16', '7', 'AcDbRegAppTableRecord');
  put(2, 'ACAD', 70, '0');
  record('APPID', '17', '7', 'AcDbRegAppTableRecord');
  put(2, APP, 70, '0', 0, 'ENDTAB');
  table('DIMSTYLE', '8', 1);
  put(100, 'AcDbDimStyleTable', 71, '1');
  put(0, 'DIMSTYLE', 105, '18', 330, '8', 100, 'AcDbSymbolTableRecord');
  put(100, 'AcDbDimStyleTableRecord', 2, 'Standard', 70, '0', 0, 'ENDTAB');
  table('BLOCK_RECORD', '9', 2);
  record('BLOCK_RECORD', '20', '9', 'AcDbBlockTableRecord');
  put(2, '*Model_Space');
  record('BLOCK_RECORD', '23', '9', 'AcDbBlockTableRecord');
  put(2, '*Paper_Space', 0, 'ENDTAB');
}

function block(put: Put, name: string, owner: string, begin: string, end: string): void {
  put(0, 'BLOCK', 5, begin, 330, owner, 100, 'AcDbEntity', 8, '0', 100, 'AcDbBlockBegin');
  put(2, name, 70, '0', 10, 0, 20, 0, 30, 0, 3, name, 1, '');
  put(0, 'ENDBLK', 5, end, 330, owner, 100, 'AcDbEntity', 8, '0', 100, 'AcDbBlockEnd');
}

function push(out: string[], pairs: readonly Value[]): void {
  for (let i = 0; i < pairs.length; i += 2) {
    const value = pairs[i + 1]!;
    out.push(String(pairs[i]!), typeof value === 'number' ? figure(value) : value);
  }
}

/** A micrometre of length. */
function figure(value: number): string {
  return String(Math.round(value * 1000) / 1000 + 0);
}

/** A bulge on a long chord needs more digits than a length. */
function exact(value: number): string {
  return String(Math.round(value * 1e7) / 1e7 + 0);
}

/** One line of the format; what its code page lacks is written as its number. */
function plainText(text: string): string {
  return Array.from(text.replaceAll(/[\r\n]+/g, ' '))
    .map((char) => {
      const code = char.codePointAt(0)!;
      if (code < 0x7f) return char;
      return code > 0xffff ? '?' : `\\U+${code.toString(16).toUpperCase().padStart(4, '0')}`;
    })
    .join('');
}
