/** Cartoons to lead drawings: worked shapes, files of other programs, our own files back again, faults. */
import { readFileSync } from 'node:fs';
import { buildNet } from '../build-net.js';
import { lozengeSketch } from '../lozenge-sketch.js';
import type { Net, NetSketch, XyMm } from '../net.js';
import { netDxf } from '../net-dxf.js';
import { netGeoJson } from '../net-geojson.js';
import { netSvg } from '../net-svg.js';
import { boundsMm, distanceToSegmentMm } from '../ring.js';
import { CartoonError, type CartoonOptions } from './cartoon.js';
import { readCartoon } from './read-cartoon.js';

/** What the curves fitted for a file may leave off the stored line. */
const FITTED_MM = 0.15;

const options = {
  face: 'inside',
  layer: 'front',
  surface: 'plan',
  madeBy: { name: 'test', version: '1' },
} as const;

const fixture = (name: string) =>
  readFileSync(new URL(`../../../../fixtures/${name}`, import.meta.url), 'utf8');

function netOf(text: string, cartoon: CartoonOptions = {}): Net {
  return buildNet(readCartoon(text, cartoon).sketch, options);
}

const svg = (inside: string, size = 'width="300mm" height="300mm" viewBox="0 0 300 300"') =>
  `<svg xmlns="http://www.w3.org/2000/svg" ${size}>${inside}</svg>`;
const path = (...ds: string[]) => ds.map((d) => `<path d="${d}"/>`).join('');

const areas = (net: Net) => net.pieces.map((piece) => piece.areaMm2).sort((a, b) => a - b);

function faultOf(text: string, cartoon: CartoonOptions = {}): CartoonError {
  try {
    readCartoon(text, cartoon);
  } catch (error) {
    if (error instanceof CartoonError) return error;
    throw error;
  }
  throw new Error('it was taken');
}

describe('a round-headed light, drawn by other programs', () => {
  // Written by ezdxf 1.4.5, svgwrite 1.4.3 and shapely 2.2.0; see fixtures/README.md. Plane geometry:
  // 300 × 350 mm under a half circle of 150; a cross of leads in the lower part, a circle of 40 on it.
  const quarter = (Math.PI * 40 ** 2) / 4;
  const rest = 150 * 175 - quarter;
  const head = (Math.PI * 150 ** 2) / 2;
  const expected = [quarter, quarter, quarter, quarter, rest, rest, rest, rest, head];

  it.each([
    ['light-r2000-mm.dxf', {}],
    ['light-r12.dxf', {}],
    ['light-r2010-inch.dxf', {}],
    ['light.svg', {}],
    ['light-pieces.geojson', { unitMm: 1 }],
  ] as const)('%s has its nine pieces', (name, cartoon) => {
    const net = netOf(fixture(`cartoons/${name}`), { fileName: name, ...cartoon });
    const found = areas(net);
    expect(found).toHaveLength(9);
    // chords of 0.05 mm take up to 2/3 of 0.05 mm along a curve off an area
    const curved = [20 * Math.PI, 20 * Math.PI, 150 * Math.PI];
    const slack = (0.05 * Math.max(...curved) * 2) / 3 + 0.5;
    found.forEach((area, i) => {
      expect(Math.abs(area - expected[i]!)).toBeLessThan(slack);
    });
    expect(net.leads.filter(({ kind }) => kind === 'outer').length).toBeGreaterThanOrEqual(4);
    // outer corner top left: half a face outside the highest and leftmost centre line
    const box = boundsMm(net.leads.flatMap(({ lineMm }) => lineMm));
    expect(box.minX).toBeCloseTo(3, 2);
    expect(box.minY).toBeCloseTo(3, 2);
  });

  it('the joints where leads were drawn across each other are named', () => {
    const { repairs } = readCartoon(fixture('cartoons/light-r2000-mm.dxf'));
    const crossings = repairs.filter(({ kind }) => kind === 'crossing-split');
    // the circle is met twice by the level lead and twice by the upright, which also cross each other
    // (the circle's seam lies on the level lead, so that one meets it at a place that both have)
    const middle: XyMm = [153, 3 + 150 + 175];
    for (const { xyMm } of crossings) {
      const off = Math.hypot(xyMm![0] - middle[0], xyMm![1] - middle[1]);
      expect(Math.min(off, Math.abs(off - 40))).toBeLessThan(0.1);
    }
    expect(crossings.length).toBeGreaterThanOrEqual(3);
  });

  it('in a file without a unit, millimetres are taken and said', () => {
    const { repairs, unitMm } = readCartoon(fixture('cartoons/light-r12.dxf'));
    expect(unitMm).toBe(1);
    expect(repairs.map(({ kind }) => kind)).toContain('unit-assumed');
  });

  it('as GeoJSON without a unit is asked for one', () => {
    expect(faultOf(fixture('cartoons/light-pieces.geojson')).fault).toBe('unit-unknown');
  });
});

describe('what is put right', () => {
  const frame = 'M0 0H300V300H0Z';
  const said = (text: string, cartoon?: CartoonOptions) =>
    readCartoon(text, cartoon).repairs.filter(({ kind }) => kind !== 'width-assumed');

  it('a gap up to the tolerance is closed, and told with its place', () => {
    const text = svg(path(frame, 'M150 0V299.7'));
    expect(areas(netOf(text))).toEqual([45000, 45000]);
    const [gap] = said(text);
    expect(gap).toMatchObject({ kind: 'gap-closed' });
    // the outer corner is half a face of 6 mm outside (0, 0)
    expect(gap!.sentence).toBe('A line ended 0.3 mm from another at 153.0, 303.0 mm: put onto it.');
    expect(gap!.xyMm).toEqual([153, 303]);
  });

  it('a wider gap leaves the line out, unless the tolerance is larger', () => {
    const text = svg(path(frame, 'M150 0V298.5'));
    expect(areas(netOf(text))).toEqual([90000]);
    expect(said(text)).toMatchObject([{ kind: 'dangling-end', xyMm: [153, 301.5] }]);
    expect(areas(netOf(text, { toleranceMm: 2 }))).toEqual([45000, 45000]);
  });

  it('a line that runs a little too far is cut back', () => {
    const text = svg(path(frame, 'M150 -0.4V300.4'));
    expect(areas(netOf(text))).toEqual([45000, 45000]);
    expect(netOf(text).leads.every(({ lineMm }) => lineMm.every(([, y]) => y >= 3))).toBe(true);
  });

  it('ends that nearly meet are joined', () => {
    const text = svg(path(frame, 'M0 100H149.8', 'M150.2 100H300'));
    expect(areas(netOf(text))).toEqual([30000, 60000]);
    expect(said(text)).toMatchObject([{ kind: 'gap-closed', xyMm: [153, 103] }]);
  });

  it('lines across each other get a joint', () => {
    const text = svg(path(frame, 'M100 0V300', 'M0 200H300'));
    expect(areas(netOf(text))).toEqual([10000, 20000, 20000, 40000]);
    expect(said(text)).toMatchObject([{ kind: 'crossing-split', xyMm: [103, 203] }]);
  });

  it('a line drawn twice is kept once, whole or in part', () => {
    const text = svg(path(frame, 'M100 0V300', 'M100 300V0', 'M100 50V120'));
    expect(areas(netOf(text))).toEqual([30000, 60000]);
    expect(said(text).every(({ kind }) => kind === 'duplicate-dropped')).toBe(true);
    expect(said(text)[0]!.sentence).toMatch(/drawn twice over 300\.0 mm|drawn twice over 70\.0 mm/);
  });

  it('of two lines beside each other nearer than the tolerance one is kept', () => {
    const text = svg(path(frame, 'M100 0V300', 'M100 0Q100.6 150 100 300'));
    const [a, b] = areas(netOf(text));
    expect(Math.abs(a! - 30000)).toBeLessThan(0.3 * 300);
    expect(a! + b!).toBeCloseTo(90000, 0);
    expect(said(text).map(({ kind }) => kind)).toContain('overlap-dropped');
  });

  it('pieces drawn each by itself share their edges', () => {
    const text = svg(path('M0 0H100V300H0Z', 'M100 0H300V150H100Z', 'M100.2 150H300V300H100.1Z'));
    const found = areas(netOf(text));
    [30000, 30000, 30000].forEach((area, i) => {
      expect(Math.abs(found[i]! - area)).toBeLessThan(60);
    });
  });

  it('a line between two pieces of glass that bounds none is left out', () => {
    const text = svg(path(frame, 'M100 100H200V200H100Z', 'M0 150H100'));
    expect(areas(netOf(text))).toEqual([10000, 80000]);
    expect(said(text)).toMatchObject([{ kind: 'dangling-end' }]);
  });

  it('what lies outside the panel is left out', () => {
    const text = svg(path(frame, 'M150 0V300', 'M400 0H420V20H400Z'));
    expect(areas(netOf(text))).toEqual([45000, 45000]);
    expect(said(text)).toMatchObject([{ kind: 'outside-dropped' }]);
  });

  it('a ring by itself inside a piece stays', () => {
    const text = svg(`${path(frame)}<circle cx="150" cy="150" r="50"/>`);
    const [jewel, rest] = areas(netOf(text));
    expect(jewel).toBeGreaterThan(Math.PI * 2500 - 12);
    expect(rest! + jewel!).toBeCloseTo(90000, 0);
  });

  it('layers that name something else are left out, and can be asked for', () => {
    const text = svg(
      `<g id="Lead lines">${path(frame, 'M150 0V300')}</g><g id="Guides">${path('M0 20H300')}</g>`,
    );
    const cartoon = readCartoon(text);
    expect(cartoon.layers).toEqual([
      { name: 'Lead lines', lines: 2, isUsed: true },
      { name: 'Guides', lines: 1, isUsed: false },
    ]);
    expect(areas(buildNet(cartoon.sketch, options))).toHaveLength(2);
    expect(areas(netOf(text, { layers: ['Lead lines', 'Guides'] }))).toHaveLength(4);
    expect(faultOf(text, { layers: ['Leads'] }).message).toContain('Lead lines, Guides');
  });

  it('an outer edge that is not drawn is asked for, and may be the box', () => {
    const text = svg(path('M100 0V300', 'M200 0V300', 'M0 0V300', 'M300 0V300', 'M0 150H300'));
    const fault = faultOf(text);
    expect(fault.fault).toBe('no-outline');
    expect(fault.message).toMatch(/rectangle round the lines/);
    const boxed = readCartoon(text, { outline: 'box' });
    expect(areas(buildNet(boxed.sketch, options))).toEqual(Array(6).fill(15000));
    expect(boxed.repairs.map(({ kind }) => kind)).toContain('outline-made');
  });

  it('straps and mending leads keep what their layers call them', () => {
    const text = svg(
      `<g id="CAME">${path(frame, 'M150 0V300')}</g><g id="MENDING_LEAD">${path('M0 100H150')}</g><g id="STRAP_LEAD">${path('M160 200H280')}</g>`,
    );
    const net = netOf(text);
    expect(areas(net)).toEqual([15000, 30000, 45000]);
    expect(
      net.leads
        .map(({ kind }) => kind)
        .filter((kind) => kind !== 'outer')
        .sort(),
    ).toEqual(['came', 'came', 'mending', 'strap']);
  });
});

describe('our own files', () => {
  const generated = (name: string): NetSketch => {
    const truth = JSON.parse(fixture(`nets/generated-${name}.json`)) as {
      junctions: XyMm[];
      leads: { from: number; to: number; kind: string; widthMm: number; lineMm: XyMm[] }[];
    };
    return {
      nodes: truth.junctions.map((xyMm) => ({ xyMm })),
      leads: truth.leads.map(({ kind, widthMm, ...lead }) => ({
        ...lead,
        kind: kind === 'outer' || kind === 'mending' ? kind : 'came',
        faceWidthMm: widthMm,
        widthSpreadMm: 0,
        confidenceP: 1,
        doubts: [],
      })),
    };
  };
  const grid = lozengeSketch({
    columns: 3,
    rows: 4,
    widthMm: 90,
    heightMm: 130,
    faceWidthMm: 6,
    outerFaceMm: 10,
  });

  it.each([
    ['lozenges', 'svg', grid, false],
    ['lozenges', 'dxf', grid, false],
    ['lozenges', 'geojson', grid, false],
    ['an easy panel', 'svg', generated('easy'), false],
    ['an easy panel', 'dxf', generated('easy'), false],
    ['a harder panel', 'svg', generated('medium'), false],
    ['a harder panel', 'dxf', generated('medium'), false],
    ['a harder panel', 'geojson', generated('medium'), false],
    ['a harder panel, mirrored,', 'svg', generated('medium'), true],
    ['a harder panel, mirrored,', 'dxf', generated('medium'), true],
  ] as const)('%s as %s come back within 0.05 mm', (_, kind, sketch, mirrored) => {
    const net = buildNet(sketch, options);
    const text = { svg: netSvg, dxf: netDxf, geojson: netGeoJson }[kind](net, { mirrored });
    const cartoon = readCartoon(text);
    const faults = cartoon.repairs.filter(({ kind: what }) => what !== 'left-out');
    expect(faults.map(({ kind: what }) => what)).toEqual(mirrored ? ['turned-over'] : []);
    // a DXF starts at the panel's outer corner: move it back over the drawing that it came from
    const boxOf = ({ leads }: { leads: readonly { lineMm: readonly XyMm[] }[] }) =>
      boundsMm(leads.flatMap(({ lineMm }) => lineMm));
    const [was, is] = [boxOf(net), boxOf(cartoon.sketch)];
    const shift: XyMm = kind !== 'dxf' ? [0, 0] : [was.minX - is.minX, was.minY - is.minY];
    const moved = ([x, y]: XyMm): XyMm => [x + shift[0], y + shift[1]];
    const again = buildNet(
      {
        nodes: cartoon.sketch.nodes.map(({ xyMm }) => ({ xyMm: moved(xyMm) })),
        leads: cartoon.sketch.leads.map((lead) => ({ ...lead, lineMm: lead.lineMm.map(moved) })),
      },
      { ...options, numbering: { earlier: net } },
    );
    expect(again.pieces.map(({ pieceId }) => pieceId)).toEqual(
      net.pieces.map(({ pieceId }) => pieceId),
    );
    const off = (one: Net, other: Net) =>
      Math.max(
        ...one.leads.flatMap((lead) => lead.lineMm.map((point) => nearest(point, lead, other))),
      );
    // what the file's own fitted curves leave off the stored line (0.15 mm allowed there) is not the reader's
    expect(off(again, net)).toBeLessThan(0.05 + FITTED_MM);
    expect(off(net, again)).toBeLessThan(0.05 + FITTED_MM);
    const widths = (one: Net) =>
      [...new Set(one.leads.map(({ faceWidthMm }) => faceWidthMm))].sort();
    expect(widths(again)).toEqual(widths(net));
  });
});

/** Distance of a place from the leads of another net that pass near its lead. */
function nearest(point: XyMm, lead: Net['leads'][number], other: Net): number {
  const box = boundsMm(lead.lineMm);
  const near = other.leads.filter(({ lineMm }) => {
    const b = boundsMm(lineMm);
    return (
      b.minX <= box.maxX + 1 &&
      b.maxX >= box.minX - 1 &&
      b.minY <= box.maxY + 1 &&
      b.maxY >= box.minY - 1
    );
  });
  return Math.min(
    ...near.flatMap(({ lineMm }) =>
      lineMm.slice(1).map((to, i) => distanceToSegmentMm(point, lineMm[i]!, to)),
    ),
  );
}

describe('what is no cartoon', () => {
  it.each([
    ['an empty file', ' ', 'unknown-format'],
    ['a picture', '\u0089PNG\r\n', 'unknown-format'],
    ['other XML', '<?xml version="1.0"?><html><path d="M0 0H9"/></html>', 'unknown-format'],
    ['other JSON', '{"name":"x"}', 'unknown-format'],
    ['XML that breaks off', '<svg xmlns="http://www.w3.org/2000/svg"><g>', 'not-well-formed'],
    ['JSON that breaks off', '{"type":"FeatureCollection",', 'not-well-formed'],
    ['a DXF that breaks off', '0\r\nSECTION\r\n2\r\nENTITIES\r\nx\r\ny\r\n', 'not-well-formed'],
    ['a path that is none', svg(path('M0 0Lx y')), 'not-well-formed'],
    ['nothing drawn', svg('<text>only words</text>'), 'no-lines'],
    [
      'one the size of a house',
      svg(path('M0 0H300V300H0Z'), 'width="9000mm" viewBox="0 0 300 300"'),
      'size-unlikely',
    ],
    ['lines that close round nothing', svg(path('M0 0L300 300')), 'does-not-close'],
  ])('%s', (_, text, fault) => {
    const found = faultOf(text);
    expect(found.fault).toBe(fault);
    expect(found.message).toMatch(/[Ss]ave|[Ss]ay|[Dd]raw/);
  });

  it('entities that grow a thousandfold are not read', () => {
    const bomb = `<?xml version="1.0"?><!DOCTYPE svg [<!ENTITY a "${'x'.repeat(50)}">${Array.from(
      { length: 9 },
      (_, i) => `<!ENTITY a${i} "${`&a${i === 0 ? '' : i - 1};`.repeat(10)}">`,
    ).join('')}]><svg xmlns="http://www.w3.org/2000/svg"><text>&a8;</text></svg>`;
    expect(faultOf(bomb).fault).toBe('unsafe');
  });

  it('a block that holds itself does not run for ever', () => {
    const loop = ['0', 'SECTION', '2', 'BLOCKS', '0', 'BLOCK', '2', 'A', '10', '0', '20', '0'];
    const insert = ['0', 'INSERT', '2', 'A', '10', '0', '20', '0'];
    const text = [
      ...loop,
      ...insert,
      ...insert,
      '0',
      'ENDBLK',
      '0',
      'ENDSEC',
      '0',
      'SECTION',
      '2',
      'ENTITIES',
      ...insert,
      '0',
      'ENDSEC',
      '0',
      'EOF',
    ];
    expect(faultOf(text.join('\n')).fault).toBe('too-large');
  });

  it('a block set in millions of rows is refused', () => {
    const text = [
      '0',
      'SECTION',
      '2',
      'BLOCKS',
      '0',
      'BLOCK',
      '2',
      'A',
      '0',
      'LINE',
      '10',
      '0',
      '20',
      '0',
      '11',
      '9',
      '21',
      '9',
      '0',
      'ENDBLK',
      '0',
      'ENDSEC',
      '0',
      'SECTION',
      '2',
      'ENTITIES',
      '0',
      'INSERT',
      '2',
      'A',
      '10',
      '0',
      '20',
      '0',
      '70',
      '30000',
      '71',
      '30000',
      '44',
      '1',
      '45',
      '1',
      '0',
      'ENDSEC',
      '0',
      'EOF',
    ];
    expect(faultOf(text.join('\n')).fault).toBe('too-large');
  });

  it('groups a thousand deep are refused', () => {
    expect(faultOf(svg('<g>'.repeat(1000) + '</g>'.repeat(1000))).fault).toBe('too-large');
  });

  it('a drawing of a million points is refused', () => {
    const d = `M0 0${'h1v1'.repeat(250_000)}`;
    expect(faultOf(svg(path(d))).fault).toBe('too-large');
  });
});
