import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { buildNet, type NetSketch, ringAreaMm2, type XyMm } from '#libs/net';
import { ElevationError } from './elevation-error.js';
import { type NamedOutline, packOutlines, unpackOutlines } from './packed-outlines.js';

function generatedSketch(): NetSketch {
  const path = new URL('../../../fixtures/nets/generated-medium.json', import.meta.url);
  const { junctions, leads } = JSON.parse(readFileSync(path, 'utf8')) as {
    junctions: XyMm[];
    leads: { from: number; to: number; widthMm: number; lineMm: XyMm[] }[];
  };
  return {
    nodes: junctions.map((xyMm) => ({ xyMm })),
    leads: leads.map(({ from, to, widthMm, lineMm }) => ({
      from,
      to,
      kind: 'came',
      lineMm,
      faceWidthMm: widthMm,
      widthSpreadMm: 0.1,
      confidenceP: 1,
      doubts: [],
    })),
  };
}

describe('packed outlines', () => {
  it('come back within a step, names and all', () => {
    const coordinate = fc.integer({ min: -50_000, max: 50_000 });
    const outline = fc.record({
      name: fc.string({ unit: 'grapheme' }),
      ringsMm: fc.array(
        fc
          .tuple(coordinate, coordinate, fc.integer({ min: 5, max: 900 }))
          .map(([x, y, size]): XyMm[] => [
            [x / 7, y / 7],
            [x / 7 + size, y / 7 + 0.3],
            [x / 7 + size, y / 7 + size],
          ]),
        { maxLength: 3 },
      ),
    });
    fc.assert(
      fc.property(fc.array(outline, { maxLength: 8 }), (outlines) => {
        const back = unpackOutlines(packOutlines(outlines, { toleranceMm: 0.05 }));
        expect(back.map(({ name }) => name)).toEqual(outlines.map(({ name }) => name));
        back.forEach(({ ringsMm }, i) => {
          ringsMm.forEach((ring, r) => {
            ring.forEach(([x, y], p) => {
              const [givenX, givenY] = outlines[i]!.ringsMm[r]![p]!;
              expect(Math.abs(x - givenX)).toBeLessThanOrEqual(0.05 + 1e-9);
              expect(Math.abs(y - givenY)).toBeLessThanOrEqual(0.05 + 1e-9);
            });
          });
        });
      }),
    );
  });

  // The size that the architecture sets for a window drawn from one object; the panel is one of the
  // generated ones of fixtures/nets, 150 times.
  it('hold 9,000 pieces in 300 kB and keep their areas', () => {
    const { nodes, leads } = generatedSketch();
    const net = buildNet(
      { nodes, leads },
      { face: 'inside', layer: 'front', surface: 'plan', madeBy: { name: 'test', version: '1' } },
    );
    const outlines = Array.from({ length: 150 }, (_, panel) =>
      net.pieces.map(({ pieceId, centreRingMm }): NamedOutline => {
        const [dx, dy] = [(panel % 5) * 400, Math.floor(panel / 5) * 500];
        const ring = centreRingMm.map(([x, y]): XyMm => [x + dx, y + dy]);
        return {
          name: `${Math.floor(panel / 5) + 1}${'abcde'[panel % 5]!}.${pieceId}`,
          ringsMm: [ring],
        };
      }),
    ).flat();
    const bytes = packOutlines(outlines, { maxBytes: 300_000 });
    expect(outlines.length).toBeGreaterThan(9000);
    expect(bytes.length).toBeLessThanOrEqual(300_000);
    const back = unpackOutlines(bytes);
    expect(back.map(({ name }) => name)).toEqual(outlines.map(({ name }) => name));
    const off = back.map(({ ringsMm }, i) =>
      Math.abs(ringAreaMm2(ringsMm[0]!) / ringAreaMm2(outlines[i]!.ringsMm[0]!) - 1),
    );
    expect(Math.max(...off)).toBeLessThan(0.05);
  });

  it('say when they cannot be made that small', () => {
    const ring: XyMm[] = [
      [0, 0],
      [90, 0],
      [0, 90],
    ];
    const outlines = Array.from({ length: 50 }, (_, i) => ({ name: `${i}`, ringsMm: [ring] }));
    expect(() => packOutlines(outlines, { maxBytes: 200 })).toThrow(/50 outlines/);
  });

  it('are read in the first stored version', () => {
    // Written by hand from the format's description: magic, version 1, tolerance 5, two outlines;
    // '1a' with one ring of three points from (1, 0); '1b' shares one letter and has no ring.
    const bytes = Uint8Array.from([
      0x4d, 0x4c, 0x4e, 0x4f, 1, 5, 2, 0, 2, 0x31, 0x61, 1, 3, 20, 0, 40, 0, 39, 60, 1, 1, 0x62, 0,
    ]);
    expect(unpackOutlines(bytes)).toEqual([
      {
        name: '1a',
        ringsMm: [
          [
            [1, 0],
            [3, 0],
            [1, 3],
          ],
        ],
      },
      { name: '1b', ringsMm: [] },
    ]);
  });

  it.each([
    ['other bytes', (b: Uint8Array) => Uint8Array.from([1, 2, 3, ...b])],
    ['a later version', (b: Uint8Array) => b.with(4, 2)],
    ['a cut end', (b: Uint8Array) => b.slice(0, -1)],
    ['bytes after the end', (b: Uint8Array) => Uint8Array.from([...b, 0])],
  ])('refuse %s', (_, spoil) => {
    const bytes = packOutlines([
      {
        name: '1',
        ringsMm: [
          [
            [0, 0],
            [10, 0],
            [0, 10],
          ],
        ],
      },
    ]);
    expect(() => unpackOutlines(spoil(bytes))).toThrow(ElevationError);
  });
});
