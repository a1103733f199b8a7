import { readFileSync } from 'node:fs';
import dxfParser from 'dxf-parser';
import { buildNet } from './build-net.js';
import { lozengeSketch } from './lozenge-sketch.js';
import type { XyMm } from './net.js';
import { netDxf } from './net-dxf.js';
import { NetError } from './net-error.js';
import { netGeoJson } from './net-geojson.js';
import { netJson, readNet } from './net-json.js';
import { netJsonSchema } from './net-json-schema.js';
import { netSvg } from './net-svg.js';
import { ringAreaMm2 } from './ring.js';

const GRID = { columns: 3, rows: 4, widthMm: 90, heightMm: 130, faceWidthMm: 6, outerFaceMm: 10 };
const net = buildNet(lozengeSketch(GRID), {
  face: 'inside',
  layer: 'front',
  surface: 'plan',
  madeBy: { name: 'test', version: '1' },
  doubtfulPlaces: [{ xyMm: [10, 10], radiusMm: 5, reason: 'weak-wax', leadIndex: 3 }],
});

function faultOf(run: () => unknown): string {
  try {
    run();
  } catch (error) {
    if (error instanceof NetError) return error.fault;
    throw error;
  }
  return 'none';
}

describe('net JSON', () => {
  it('comes back equal, and is the same bytes again', () => {
    const text = netJson(net);
    expect(readNet(text)).toEqual(net);
    expect(netJson(readNet(text))).toBe(text);
  });

  it.each([
    { what: 'text that is not JSON', stored: '{', fault: 'bad-file' },
    { what: 'another kind of file', stored: '{"pieces": []}', fault: 'bad-file' },
    {
      what: 'a later format',
      stored: { ...net, format: 'mullion-net/2' },
      fault: 'unknown-format',
    },
    { what: 'a missing field', stored: { ...net, outlineMm: undefined }, fault: 'bad-file' },
    { what: 'a field too many', stored: { ...net, colour: 'red' }, fault: 'bad-file' },
    {
      what: 'a lead to a joint that is not there',
      stored: { ...net, leads: [{ ...net.leads[0]!, toJointId: 'J999' }] },
      fault: 'bad-file',
    },
    {
      what: 'a number used twice',
      stored: { ...net, pieces: [...net.pieces, net.pieces[0]!] },
      fault: 'bad-file',
    },
    {
      what: 'a probability above 1',
      stored: { ...net, leads: net.leads.map((lead) => ({ ...lead, confidenceP: 1.2 })) },
      fault: 'bad-file',
    },
  ])('refuses $what', ({ stored, fault }) => {
    expect(faultOf(() => readNet(stored))).toBe(fault);
  });

  it('still reads the first stored net', () => {
    const path = new URL('../../../fixtures/nets/stored-net-1.json', import.meta.url);
    const stored = readNet(readFileSync(path, 'utf8'));
    // Two by two lozenges of 80 × 120 mm: 4 whole, 1 in the middle, 4 halves, 4 quarters.
    expect(stored.pieces).toHaveLength(13);
    expect(stored.pieces.reduce((sum, piece) => sum + piece.areaMm2, 0)).toBeCloseTo(160 * 240, 6);
    expect(stored.flatten!.lens!.k1).toBe(-0.021);
  });

  it('says which version would read it', () => {
    expect(() => readNet({ format: 'mullion-net/2' })).toThrow(/mullion-net\/2.*mullion-net\/1/);
  });
});

describe('the published JSON Schema', () => {
  const path = new URL('../../../fixtures/schema/mullion-net-1.schema.json', import.meta.url);

  it('is the form that nets are read by', () => {
    expect(JSON.parse(readFileSync(path, 'utf8'))).toEqual(netJsonSchema());
  });

  it('names every field that a net has', () => {
    const text = readFileSync(path, 'utf8');
    const names = (value: unknown): string[] =>
      Array.isArray(value)
        ? value.flatMap(names)
        : typeof value === 'object' && value !== null
          ? Object.entries(value).flatMap(([key, one]) => [key, ...names(one)])
          : [];
    expect([...new Set(names(net))].filter((name) => !text.includes(`"${name}"`))).toEqual([]);
  });
});

// RFC 7946, sections 3.1.4, 3.1.6 and 3.2: what a line, a ring and a feature are.
describe('net as GeoJSON features', () => {
  interface Feature {
    type: string;
    id: string;
    geometry: { type: string; coordinates: XyMm[] | XyMm[][] } | null;
    properties: { layer: string };
  }
  const file = JSON.parse(netGeoJson(net)) as Record<string, unknown> & { features: Feature[] };

  it('has a feature for the edge, each lead, piece and joint', () => {
    expect(file['type']).toBe('FeatureCollection');
    const count = (layer: string) =>
      file.features.filter(({ properties }) => properties.layer === layer).length;
    expect(count('PANEL_EDGE')).toBe(1);
    expect(count('CAME') + count('OUTER_CAME')).toBe(net.leads.length);
    expect(count('GLASS_SIGHT')).toBe(net.pieces.length);
    expect(count('JOINTS')).toBe(net.joints.length);
    expect(new Set(file.features.map(({ id }) => id)).size).toBe(file.features.length);
  });

  it('closes its rings, and gives them in panel millimetres', () => {
    const rings = file.features.flatMap(({ geometry }) =>
      geometry?.type === 'Polygon' ? (geometry.coordinates as XyMm[][]) : [],
    );
    for (const ring of rings) expect(ring[0]).toEqual(ring.at(-1));
    const [outline] = rings;
    expect(Math.abs(ringAreaMm2(outline!.slice(0, -1)))).toBeCloseTo(280 * 530, 1);
  });

  it('says unit, axes, side and surface', () => {
    expect(file).toMatchObject({ unit: 'mm', yAxis: 'down', face: 'inside', surface: 'plan' });
    expect(file['remark']).toContain('not places on the earth');
  });
});

describe('net SVG', () => {
  const svg = netSvg(net, { title: 'SLM.sII.2b <1:1>' });

  it('is 1:1: as many millimetres as units', () => {
    const [, width, height, view] = /width="([\d.]+)mm" height="([\d.]+)mm" viewBox="([^"]+)"/.exec(
      svg,
    )!;
    const [, , viewWidth, viewHeight] = view!.split(' ').map(Number);
    expect(Number(width)).toBe(viewWidth);
    expect(Number(height)).toBe(viewHeight);
    // Panel 3·90 + 10 wide, 15 mm of paper on both sides.
    expect(viewWidth).toBe(280 + 30);
  });

  it('turns over left to right when asked, numbers readable, and says so', () => {
    const place = (text: string) =>
      Number(/<text class="number" x="([\d.-]+)"[^>]*>1<\/text>/.exec(text)![1]);
    const mirrored = netSvg(net, { mirrored: true });
    // The panel lies between -5 and 275 mm.
    expect(place(svg) + place(mirrored)).toBeCloseTo(270, 1);
    expect(mirrored).toContain('MIRRORED');
    expect(svg).not.toContain('MIRRORED');
    expect(svg).toContain('In plan');
  });

  it('has a check square of 100 mm, every lead and every number, and no raw markup', () => {
    expect(svg).toMatch(/id="check-square"><rect [^>]*width="100" height="100"/);
    expect(svg.match(/data-lead=/g)).toHaveLength(net.leads.length);
    expect(svg.match(/class="number"/g)).toHaveLength(net.pieces.length);
    expect(svg).toContain('SLM.sII.2b &lt;1:1&gt;');
  });
});

/** The little of dxf-parser's answer that is used; its own types do not fit an ESM import. */
interface Dxf {
  header: Record<string, unknown>;
  tables: { layer: { layers: Record<string, unknown> } };
  entities: {
    layer: string;
    text?: string;
    endPoint?: { x: number; y: number };
    vertices?: { x: number; y: number; bulge?: number }[];
  }[];
}
const Parser = dxfParser as unknown as new () => { parseSync(text: string): Dxf };

// Read by another program's parser, so that the file is more than our own idea of DXF.
describe('net DXF', () => {
  const read = (text: string) => {
    const dxf = new Parser().parseSync(text);
    return { dxf, on: (layer: string) => dxf.entities.filter((entity) => entity.layer === layer) };
  };
  const { dxf, on } = read(netDxf(net));

  it('is of release 2000, in millimetres (DXF reference: $INSUNITS 4)', () => {
    expect(dxf.header).toMatchObject({ $ACADVER: 'AC1015', $INSUNITS: 4 });
  });

  it('has a layer of its own for each trade term, with one entity for each thing', () => {
    expect(Object.keys(dxf.tables.layer.layers).sort()).toEqual(
      [
        '0',
        'BROKEN_LEAD',
        'CAME',
        'COPPER_FOIL',
        'GLASS_CUT',
        'GLASS_SIGHT',
        'MENDING_LEAD',
        'NOTES',
        'OUTER_CAME',
        'PANEL_EDGE',
        'PIECE_NUMBERS',
        'STRAP_LEAD',
      ].sort(),
    );
    const isOuter = (lead: (typeof net.leads)[number]) => lead.kind === 'outer';
    expect(on('OUTER_CAME')).toHaveLength(net.leads.filter(isOuter).length);
    expect(on('CAME')).toHaveLength(net.leads.filter((lead) => !isOuter(lead)).length);
    expect(on('GLASS_CUT')).toHaveLength(net.pieces.length);
    expect(on('PIECE_NUMBERS').map(({ text }) => text)).toEqual(
      net.pieces.map((piece) => piece.pieceId),
    );
  });

  it('keeps millimetres and does not mirror', () => {
    const outline = on('PANEL_EDGE')[0]!.vertices!.map(({ x, y }): XyMm => [x, y]);
    expect(Math.abs(ringAreaMm2(outline))).toBeCloseTo(280 * 530, 1);
    // y up: the piece numbered 1, at the bottom left, has the smallest y.
    const one = on('PIECE_NUMBERS')[0]!.endPoint!;
    expect(one.x).toBeLessThan(40);
    expect(one.y).toBeLessThan(40);
  });

  it('turns over left to right when asked, and says so', () => {
    const mirrored = read(netDxf(net, { mirrored: true }));
    const one = mirrored.on('PIECE_NUMBERS')[0]!.endPoint!;
    expect(one.x).toBeGreaterThan(240);
    expect(one.y).toBeLessThan(40);
    expect(mirrored.on('NOTES').map(({ text }) => text)).toContainEqual(
      expect.stringContaining('MIRRORED'),
    );
    expect(on('NOTES').map(({ text }) => text)).toContainEqual(expect.stringContaining('In plan'));
  });
});
