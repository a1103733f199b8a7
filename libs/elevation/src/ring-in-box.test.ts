import { intersectRings, ringAreaMm2, type XyMm } from '#libs/net';
import { ringInBox } from './ring-in-box.js';

const box = { minX: 0, minY: 0, maxX: 100, maxY: 60 };
const boxRing: XyMm[] = [
  [0, 0],
  [100, 0],
  [100, 60],
  [0, 60],
];

/** A star with as many points as wanted, its radii from a fixed sequence. */
function star(seed: number, count: number): XyMm[] {
  let state = seed;
  const next = () => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
  const [x, y] = [next() * 100, next() * 60];
  return Array.from({ length: count }, (_, i): XyMm => {
    const angle = (2 * Math.PI * i) / count;
    const radius = 5 + next() * 80;
    return [x + radius * Math.cos(angle), y + radius * Math.sin(angle)];
  });
}

const areas = (rings: readonly (readonly XyMm[])[]) =>
  rings.map((ring) => ringAreaMm2(ring)).sort((a, b) => b - a);

describe('ringInBox', () => {
  // Reference: the polygon library clipper2-ts, whose coordinates are rounded to a ten-thousandth.
  it.each(Array.from({ length: 60 }, (_, i) => i + 1))(
    'cuts star %i as a polygon library does',
    (seed) => {
      const ring = star(seed * 7919, 5 + (seed % 20));
      const here = areas(ringInBox(ring, box));
      const there = areas(intersectRings([ring], [boxRing])).filter((area) => area > 1e-2);
      expect(here.filter((area) => area > 1e-2)).toHaveLength(there.length);
      for (const [i, area] of there.entries()) expect(Math.abs(here[i]! - area)).toBeLessThan(0.05);
    },
  );

  it('leaves a comb in its teeth, each with the whole of its area', () => {
    const comb: XyMm[] = [
      [10, -50],
      [90, -50],
      [90, 20],
      [70, 20],
      [70, -10],
      [50, -10],
      [50, 20],
      [30, 20],
      [30, -10],
      [10, -10],
    ];
    // two teeth of 20 × 20 hang into the box, by hand
    expect(areas(ringInBox(comb, box))).toEqual([400, 400]);
  });

  it('takes edges that lie on the side of the box, and points that touch it', () => {
    expect(areas(ringInBox(boxRing, box))).toEqual([6000]);
    const diamond: XyMm[] = [
      [50, 0],
      [100, 30],
      [50, 60],
      [0, 30],
    ];
    expect(areas(ringInBox(diamond, box))).toEqual([3000]);
    const outside: XyMm[] = [
      [100, 0],
      [160, 30],
      [100, 60],
    ];
    expect(ringInBox(outside, box)).toEqual([]);
  });

  it('goes round the other way when the ring does', () => {
    const ring = star(7, 9);
    expect(ringInBox([...ring].reverse(), box).map((one) => ringAreaMm2(one))[0]).toBeCloseTo(
      -areas(ringInBox(ring, box))[0]!,
      6,
    );
  });
});
