import dxfParser from 'dxf-parser';
import { buildNet } from '../build-net.js';
import { lozengeSketch } from '../lozenge-sketch.js';
import { patternDxf, patternSvg } from './pattern-files.js';
import { boxOf, patternLayout } from './pattern-layout.js';

const net = buildNet(
  lozengeSketch({
    columns: 3,
    rows: 3,
    widthMm: 80,
    heightMm: 110,
    faceWidthMm: 6,
    outerFaceMm: 10,
  }),
  {
    face: 'inside',
    layer: 'front',
    surface: 'plan',
    madeBy: { name: 'test', version: '1' },
    heartMm: 0,
    clearanceMm: 0,
  },
);

describe('pattern pieces on sheets', () => {
  const layout = patternLayout(net, { sheetMm: [300, 250], gapMm: 5 });

  it('are all there, inside their sheet, apart by the gap', () => {
    expect(layout.pieces.map(({ pieceId }) => pieceId).sort()).toEqual(
      net.pieces.map(({ pieceId }) => pieceId).sort(),
    );
    layout.pieces.forEach((a, i) => {
      const box = boxOf(a);
      expect(box.minX).toBeGreaterThan(-0.05);
      expect(box.minY).toBeGreaterThan(-0.05);
      expect(box.maxX).toBeLessThan(300.05);
      expect(box.maxY).toBeLessThan(250.05);
      for (const b of layout.pieces.slice(i + 1)) {
        if (a.sheet !== b.sheet) continue;
        const other = boxOf(b);
        const apart = Math.max(
          box.minX - other.maxX,
          other.minX - box.maxX,
          box.minY - other.maxY,
          other.minY - box.maxY,
        );
        expect(apart).toBeGreaterThan(4.9);
      }
    });
  });

  it('keep their size; one that fits only turned is turned, and its arrow with it', () => {
    const whole = layout.pieces.filter(({ cutSizeMm: [w, h] }) => w === 80 && h === 110);
    // 3 × 3 whole cells and 2 × 2 between them.
    expect(whole).toHaveLength(13);
    const low = patternLayout(net, { sheetMm: [300, 90] });
    const turned = low.pieces.filter(({ isTurned }) => isTurned);
    // With the halves at the left and right edges, 110 mm high as well.
    expect(turned).toHaveLength(13 + 4);
    for (const {
      arrowMm: [tail, tip],
    } of turned) {
      // A quarter clockwise: what pointed up points right.
      expect(tip[0]).toBeGreaterThan(tail[0]);
      expect(tip[1]).toBeCloseTo(tail[1], 6);
    }
  });

  it('point to the top of the panel, or along a grain that was asked for', () => {
    const [first] = patternLayout(net, { arrowsDeg: { '1': 90 } }).pieces;
    expect(first!.isGrain).toBe(true);
    expect(first!.arrowMm[1][0]).toBeGreaterThan(first!.arrowMm[0][0]);
    expect(layout.pieces.every(({ arrowMm: [tail, tip] }) => tip[1] < tail[1])).toBe(true);
  });

  it('too large for a sheet have one of their own and are named', () => {
    const { tooLarge, sheets } = patternLayout(net, { sheetMm: [100, 70] });
    expect(tooLarge).toHaveLength(13 + 4);
    expect(sheets).toBeGreaterThanOrEqual(17);
  });
});

describe('pattern files', () => {
  interface Dxf {
    entities: { layer: string; shape?: boolean; vertices?: unknown[] }[];
  }
  const Parser = dxfParser as unknown as new () => { parseSync(text: string): Dxf };

  it('are closed polylines for a plotter, read by another parser', () => {
    const { entities } = new Parser().parseSync(patternDxf(net, { sheetMm: [600, 400] }));
    const cuts = entities.filter(({ layer }) => layer === 'GLASS_CUT');
    expect(cuts).toHaveLength(net.pieces.length);
    expect(cuts.every(({ shape }) => shape === true)).toBe(true);
    expect(entities.filter(({ layer }) => layer === 'PIECE_NUMBERS')).toHaveLength(
      net.pieces.length,
    );
    expect(entities.filter(({ layer }) => layer === 'GRAIN_ARROW').length).toBeGreaterThan(0);
  });

  it('are SVG at 1:1', () => {
    const svg = patternSvg(net, { sheetMm: [600, 400], title: 'SLM.sII.2b' });
    expect(svg).toMatch(/width="600mm" height="400mm" viewBox="0 0 600 400"/);
    expect(svg.match(/class="cut"/g)).toHaveLength(net.pieces.length);
  });
});
