/** Wax bands, pen strokes and writing, drawn pixel by pixel. */
import { makePlane, type Plane } from '#libs/raster';
import { penTracing } from './pen-tracing.js';
import { broadShare } from './stroke-width.js';
import { toneOf } from './tone.js';

const PX_PER_MM = 4;
const SIDE = 150 * PX_PER_MM;

function drawn(inkOfMm: (xMm: number, yMm: number) => number): Plane {
  const plane = makePlane(SIDE, SIDE);
  for (let y = 0; y < SIDE; y++) {
    for (let x = 0; x < SIDE; x++) plane.data[y * SIDE + x] = inkOfMm(x / PX_PER_MM, y / PX_PER_MM);
  }
  return plane;
}

/** Middles of leads at 20, 75 and 130 mm each way. */
const middle = (v: number): number =>
  Math.min(Math.abs(v - 20), Math.abs(v - 75), Math.abs(v - 130));
const isWithin = (x: number, y: number, reach: number): boolean =>
  Math.min(x, y) > 20 - reach && Math.max(x, y) < 130 + reach;
/** Distance to the nearest middle, of the square lattice of four panes. */
const lattice = (x: number, y: number): number =>
  isWithin(x, y, 6) ? Math.min(middle(x), middle(y)) : 99;

const bands = drawn((x, y) => (lattice(x, y) < 3 ? 0.5 : 0));
const middles = drawn((x, y) => (lattice(x, y) < 0.3 ? 0.8 : 0));
/** Cames 6 mm wide, traced round both edges. */
const isCame = (x: number, y: number): boolean => lattice(x, y) < 3 && isWithin(x, y, 3);
const edges = drawn((x, y) => {
  const here = isCame(x, y);
  const isEdge = [-0.3, 0.3].some((d) => isCame(x + d, y) !== here || isCame(x, y + d) !== here);
  return isEdge ? 0.8 : 0;
});
const writing = drawn((x, y) => (x % 4 < 0.4 && y % 8 < 3 && isWithin(x, y, 0) ? 0.8 : 0));

test('bands of wax and strokes of a pen are told apart by their breadth', () => {
  expect(broadShare(bands, PX_PER_MM)).toBeGreaterThan(0.7);
  for (const pen of [middles, edges, writing]) expect(broadShare(pen, PX_PER_MM)).toBeLessThan(0.3);
});

test('lines along the middles become bands of the stated face, on both sides alike', () => {
  const read = penTracing(middles, PX_PER_MM, [5, 8])!;
  expect(read.lines).toBe('middles');
  expect(read.assumedWidthMm).toBe(5);
  const row = (xMm: number): number =>
    read.density.data[Math.round(50 * PX_PER_MM) * SIDE + Math.round(xMm * PX_PER_MM)]!;
  expect(row(75)).toBeGreaterThan(0.5);
  expect(row(73)).toBeGreaterThan(0.5);
  expect(row(77)).toBeGreaterThan(0.5);
  expect(row(71.5)).toBe(0);
  expect(row(78.5)).toBe(0);
});

test('between two traced edges the came is filled, and the glass is not', () => {
  const read = penTracing(edges, PX_PER_MM)!;
  expect(read.lines).toBe('edges');
  expect(read.assumedWidthMm).toBeNull();
  const at = (xMm: number, yMm: number): number =>
    read.density.data[Math.round(yMm * PX_PER_MM) * SIDE + Math.round(xMm * PX_PER_MM)]!;
  expect(at(75, 50)).toBeGreaterThan(0.5);
  expect(at(45, 50)).toBe(0);
  expect(at(5, 5)).toBe(0);
  // half way up at the middle of the stroke, 3 mm from the middle of the came
  expect(at(72, 50)).toBeCloseTo(0.275, 1);
});

test('writing is no tracing: its strokes do not hang together', () => {
  expect(penTracing(writing, PX_PER_MM)).toBeUndefined();
});

test('light wax on dark paper is seen by which side the detail stands out', () => {
  const grey = (of: (d: number) => number) => ({
    width: SIDE,
    height: SIDE,
    data: Uint8Array.from(bands.data, of),
  });
  expect(toneOf(grey((d) => 230 - 300 * d))).toBe('dark-on-light');
  expect(toneOf(grey((d) => 35 + 300 * d))).toBe('light-on-dark');
});
