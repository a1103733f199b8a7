/** Curves of files against what other programs make of them. */
import { readFileSync } from 'node:fs';
import type { XyMm } from '../net.js';
import { distanceToSegmentMm, polylineLengthMm } from '../ring.js';
import { dxfLines } from './dxf-lines.js';
import { svgLines } from './svg-lines.js';

const fixture = (name: string) =>
  readFileSync(new URL(`../../../../fixtures/cartoons/${name}`, import.meta.url), 'utf8');

function farthest(points: readonly XyMm[], line: readonly XyMm[]): number {
  return Math.max(
    ...points.map((point) =>
      Math.min(...line.slice(1).map((to, i) => distanceToSegmentMm(point, line[i]!, to))),
    ),
  );
}

describe('curves of a DXF', () => {
  // Source: points that ezdxf 1.4.5 (MIT), which wrote the file, makes of its own entities at 0.002 units.
  const want = JSON.parse(fixture('curves-r2010.points.json')) as {
    type: string;
    points: XyMm[];
  }[];
  const { lines } = dxfLines(fixture('curves-r2010.dxf'), undefined);

  it('are all there', () => {
    expect(want.map(({ type }) => type)).toEqual([
      'SPLINE',
      'SPLINE',
      'ELLIPSE',
      'ARC',
      'LWPOLYLINE',
      'POLYLINE',
      'ARC',
      'INSERT',
    ]);
    expect(lines).toHaveLength(want.length);
  });

  it.each(want.map(({ type }, i) => [i, type] as const))('%i: %s within 0.05 mm', (i) => {
    const { pointsMm, isClosed } = lines[i]!;
    const line = isClosed ? [...pointsMm, pointsMm[0]!] : pointsMm;
    // the drawing's y points up, the panel's down; both are chords, theirs of 0.002 mm
    const theirs = want[i]!.points.map(([x, y]): XyMm => [x, -y]);
    expect(farthest(theirs, line)).toBeLessThan(0.053);
    expect(farthest(line, theirs)).toBeLessThan(0.003);
  });
});

describe('curves of an SVG', () => {
  const path = (d: string, rest = '') =>
    svgLines(
      `<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100"><path d="${d}" ${rest}/></svg>`,
      undefined,
    ).lines.map(({ pointsMm }) => pointsMm);

  // plane geometry: an arc of radius r and angle a is r·a long; chords of 0.05 mm are a little shorter
  it.each([
    ['half a circle', 'M10 50A40 40 0 0 1 90 50', Math.PI * 40],
    ['three quarters of one', 'M50 10A40 40 0 1 1 10 50', 1.5 * Math.PI * 40],
    ['relative, in two halves', 'm10 50a40 40 0 1 0 80 0a40 40 0 1 0 -80 0z', 2 * Math.PI * 40],
    ['a radius too small, which grows to reach', 'M10 50A1 1 0 0 1 90 50', Math.PI * 40],
  ])('%s', (_, d, lengthMm) => {
    const [line] = path(d);
    const isRing = d.endsWith('z');
    const length = polylineLengthMm(isRing ? [...line!, line![0]!] : line!);
    expect(length).toBeLessThanOrEqual(lengthMm + 1e-6);
    expect(length).toBeGreaterThan(lengthMm * 0.998);
  });

  it('a cubic runs through the place that halving its handles gives', () => {
    // de Casteljau at one half: ((10,0) + 3(20,60) + 3(80,60) + (90,0)) / 8 = (50, 45)
    const [line] = path('M10 0C20 60 80 60 90 0');
    expect(farthest([[50, 45]], line!)).toBeLessThan(0.05);
  });

  it('a quadratic runs through the place that halving its handle gives', () => {
    // ((10,0) + 2(50,80) + (90,0)) / 4 = (50, 40); smooth T mirrors the handle to (130, -80)
    const [line] = path('M10 0Q50 80 90 0T170 0');
    expect(
      farthest(
        [
          [50, 40],
          [130, -40],
        ],
        line!,
      ),
    ).toBeLessThan(0.05);
  });

  it('is moved by the transforms of the groups that hold it, the innermost first', () => {
    const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100"><g transform="translate(10,20)"><g transform="rotate(90) scale(2)"><line x1="1" y1="0" x2="5" y2="3"/></g></g></svg>`;
    // (1,0) → scaled (2,0) → turned (0,2) → (10,22); (5,3) → (10,6) → (-6,10) → (4,30)
    const [line] = svgLines(svg, undefined).lines;
    const [a, b] = line!.pointsMm;
    expect(a![0]).toBeCloseTo(10, 6);
    expect(a![1]).toBeCloseTo(22, 6);
    expect(b![0]).toBeCloseTo(4, 6);
    expect(b![1]).toBeCloseTo(30, 6);
  });

  // CSS Values 4, section 6.2: 1in = 2.54cm = 96px = 72pt
  it.each([
    ['width="100mm" height="50mm" viewBox="0 0 200 100"', 0.5],
    ['width="4in" height="2in" viewBox="0 0 96 48"', (4 * 25.4) / 96],
    ['width="96" height="96"', 25.4 / 96],
    ['width="10cm" height="20cm" viewBox="0 0 100 100"', 1],
  ])('takes the unit from %s', (root, mm) => {
    const svg = `<svg xmlns="http://www.w3.org/2000/svg" ${root}><path d="M0 0H10"/></svg>`;
    expect(svgLines(svg, undefined).unitMm).toBeCloseTo(mm, 9);
  });

  it('takes no lines from what is not drawn', () => {
    const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm" viewBox="0 0 9 9"><defs><path d="M0 0H9"/></defs><clipPath><path d="M0 0H9"/></clipPath><g style="display: none"><path d="M0 0H9"/></g><use href="#a"/><text>a</text><rect x="1" y="1" width="2" height="0"/></svg>`;
    const { lines, leftOut } = svgLines(svg, undefined);
    expect(lines).toEqual([]);
    expect(leftOut).toEqual(['1 copy of another shape', '1 text']);
  });
});
