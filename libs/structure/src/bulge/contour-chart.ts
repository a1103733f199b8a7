/** Contours of a bulge on the panel's outline and leads, readable in black and white. */
import { boundsMm, isInsideRing, type XyMm } from '#libs/net';
import type { BulgeFigures } from './bulge-figures.js';
import type { Heights } from './reference.js';

export interface ChartOptions {
  /** Centre lines of the leads, for finding one's place. */
  readonly leadsMm?: readonly (readonly XyMm[])[];
  /** Height from line to line; left out: some eight lines. */
  readonly stepMm?: number;
  /** Printed below: mark, day, datum. */
  readonly caption?: readonly string[];
}

const STEPS_NICE = [0.2, 0.5, 1, 2, 5, 10, 20];
const GRID = 96;

/** Height from line to line that gives some eight lines, and no more than the noise allows. */
export function contourStepMm(rangeMm: number, noiseMm: number): number {
  const wanted = Math.max(rangeMm / 8, noiseMm);
  return STEPS_NICE.find((step) => step >= wanted) ?? STEPS_NICE.at(-1)!;
}

interface Stretch {
  readonly level: number;
  readonly line: readonly XyMm[];
}

/**
 * SVG in millimetres of the panel. Whole lines stand towards the inside, broken ones towards the
 * outside, the line of zero is dotted; every line bears its height. A cross is the place that stands out most.
 */
export function contourChartSvg(
  heights: Heights,
  figures: Pick<BulgeFigures, 'maximumMm' | 'atMm' | 'oppositeMm'>,
  { leadsMm = [], stepMm, caption = [] }: ChartOptions = {},
): string {
  const { outlineMm, readings, noiseMm } = heights.surface;
  const box = boundsMm(outlineMm);
  const [width, height] = [box.maxX - box.minX, box.maxY - box.minY];
  const size = Math.max(width, height);
  const letters = size / 42;
  const step =
    stepMm ??
    contourStepMm(
      Math.abs(figures.maximumMm.value) + Math.max(0, Math.abs(figures.oppositeMm)),
      noiseMm,
    );
  const margin = letters * 1.5;
  const below = (caption.length + 3.8) * letters * 1.4;
  const stretches = contours(heights, step);
  const view = [box.minX - margin, box.minY - margin, width + 2 * margin, height + margin + below];
  const path = (line: readonly XyMm[]) =>
    `M${line.map(([x, y]) => `${round(x)} ${round(y)}`).join('L')}`;
  const leads = leadsMm.map((line) => path(line)).join('');
  const parts = [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="${view.map(round).join(' ')}" font-family="sans-serif" font-size="${round(letters)}">`,
    `<rect x="${round(view[0]!)}" y="${round(view[1]!)}" width="${round(view[2]!)}" height="${round(view[3]!)}" fill="#fff"/>`,
    leads === ''
      ? ''
      : `<path d="${leads}" fill="none" stroke="#999" stroke-width="${round(size / 400)}"/>`,
    `<path d="${path(outlineMm)}Z" fill="none" stroke="#000" stroke-width="${round(size / 220)}"/>`,
    ...readings
      .filter(
        ([x, y]) =>
          x >= box.minX - 1 && x <= box.maxX + 1 && y >= box.minY - 1 && y <= box.maxY + 1,
      )
      .slice(0, 1200)
      .map(
        ([x, y]) =>
          `<circle cx="${round(x)}" cy="${round(y)}" r="${round(size / 500)}" fill="#000"/>`,
      ),
    ...stretches.map(({ level, line }) => {
      const dash =
        level === 0
          ? ` stroke-dasharray="${round(size / 400)} ${round(size / 120)}" stroke-linecap="round"`
          : level < 0
            ? ` stroke-dasharray="${round(size / 60)} ${round(size / 110)}"`
            : '';
      const isHeavy = Math.abs(Math.round(level / step)) % 5 === 0 && level !== 0;
      return `<path d="${path(line)}" fill="none" stroke="#000" stroke-width="${round(size / (isHeavy ? 260 : 480))}"${dash}/>`;
    }),
    ...labels(stretches, letters),
    cross(figures.atMm, letters),
    ...words(figures, step, box.minX, box.maxY + letters * 1.8, letters, caption, width),
    '</svg>',
  ];
  return parts.filter((part) => part !== '').join('\n');
}

/** Marching squares, the pieces of each level joined to lines. */
function contours(heights: Heights, step: number): Stretch[] {
  const { outlineMm } = heights.surface;
  const box = boundsMm(outlineMm);
  const cell = Math.max(box.maxX - box.minX, box.maxY - box.minY) / GRID;
  const columns = Math.ceil((box.maxX - box.minX) / cell);
  const rows = Math.ceil((box.maxY - box.minY) / cell);
  const at = (i: number, j: number): XyMm => [
    Math.min(box.maxX, box.minX + i * cell),
    Math.min(box.maxY, box.minY + j * cell),
  ];
  const grid = new Float64Array((columns + 1) * (rows + 1));
  let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (let j = 0; j <= rows; j++) {
    for (let i = 0; i <= columns; i++) {
      const value = heights.heightMm(at(i, j));
      grid[j * (columns + 1) + i] = value;
      low = Math.min(low, value);
      high = Math.max(high, value);
    }
  }
  const stretches: Stretch[] = [];
  for (let n = Math.ceil(low / step); n <= Math.floor(high / step); n++) {
    const level = n * step;
    const pieces: [XyMm, XyMm][] = [];
    for (let j = 0; j < rows; j++) {
      for (let i = 0; i < columns; i++) {
        const corners = [
          [i, j],
          [i + 1, j],
          [i + 1, j + 1],
          [i, j + 1],
        ] as const;
        const cuts = corners.flatMap(([ci, cj], k): XyMm[] => {
          const [ni, nj] = corners[(k + 1) % 4]!;
          const [a, b] = [grid[cj * (columns + 1) + ci]!, grid[nj * (columns + 1) + ni]!];
          if (a >= level === b >= level) return [];
          const share = (level - a) / (b - a);
          const [from, to] = [at(ci, cj), at(ni, nj)];
          return [[from[0] + share * (to[0] - from[0]), from[1] + share * (to[1] - from[1])]];
        });
        for (let k = 0; k + 1 < cuts.length; k += 2) pieces.push([cuts[k]!, cuts[k + 1]!]);
      }
    }
    const kept = pieces.filter(([a, b]) =>
      isInsideRing([(a[0] + b[0]) / 2, (a[1] + b[1]) / 2], outlineMm),
    );
    for (const line of joined(kept)) stretches.push({ level, line });
  }
  return stretches;
}

function joined(pieces: readonly (readonly [XyMm, XyMm])[]): XyMm[][] {
  const key = ([x, y]: XyMm) => `${x.toFixed(4)},${y.toFixed(4)}`;
  const at = new Map<string, number[]>();
  for (const [i, ends] of pieces.entries()) {
    for (const end of ends) at.set(key(end), [...(at.get(key(end)) ?? []), i]);
  }
  const used = new Set<number>();
  const lines: XyMm[][] = [];
  const grow = (line: XyMm[]) => {
    for (;;) {
      const end = line.at(-1)!;
      const next = at.get(key(end))?.find((i) => !used.has(i));
      if (next === undefined) return;
      used.add(next);
      const [a, b] = pieces[next]!;
      line.push(key(a) === key(end) ? b : a);
    }
  };
  for (const [i, [a, b]] of pieces.entries()) {
    if (used.has(i)) continue;
    used.add(i);
    const line = [a, b];
    grow(line);
    line.reverse();
    grow(line);
    lines.push(line);
  }
  return lines;
}

function labels(stretches: readonly Stretch[], letters: number): string[] {
  return stretches.flatMap(({ level, line }) => {
    if (line.length < 8) return [];
    const [x, y] = line[Math.floor(line.length / 3)]!;
    const text = `${level > 0 ? '+' : ''}${tidy(level)}`;
    return [
      `<text x="${round(x)}" y="${round(y + letters / 3)}" text-anchor="middle" stroke="#fff" stroke-width="${round(letters / 4)}" paint-order="stroke" fill="#000">${text}</text>`,
    ];
  });
}

function cross([x, y]: XyMm, letters: number): string {
  const arm = letters * 0.7;
  return `<path d="M${round(x - arm)} ${round(y)}h${round(2 * arm)}M${round(x)} ${round(y - arm)}v${round(2 * arm)}" stroke="#000" stroke-width="${round(letters / 5)}"/>`;
}

function words(
  { maximumMm }: Pick<BulgeFigures, 'maximumMm'>,
  step: number,
  x: number,
  y: number,
  letters: number,
  caption: readonly string[],
  width: number,
): string[] {
  const bar = [1000, 500, 200, 100, 50].find((length) => length < width / 2) ?? 20;
  const lines = [
    `+ cross: ${tidy(maximumMm.value)} mm ± ${(2 * maximumMm.sigma).toFixed(1)}; a line every ${tidy(step)} mm`,
    'whole: towards the inside · broken: towards the outside · dots: readings',
    ...caption,
  ];
  return [
    ...lines.map(
      (line, i) =>
        `<text x="${round(x)}" y="${round(y + i * letters * 1.4)}">${escaped(line)}</text>`,
    ),
    `<path d="M${round(x)} ${round(y + (lines.length - 0.2) * letters * 1.4)}h${bar}" stroke="#000" stroke-width="${round(letters / 4)}"/>`,
    `<text x="${round(x + bar + letters / 2)}" y="${round(y + (lines.length + 0.05) * letters * 1.4)}">${bar} mm</text>`,
  ];
}

function tidy(value: number): string {
  return String(Math.round(value * 10) / 10).replace('-', '−');
}

function escaped(text: string): string {
  return text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;');
}

function round(value: number): number {
  return Math.round(value * 100) / 100;
}
