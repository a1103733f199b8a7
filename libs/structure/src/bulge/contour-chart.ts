/** Contours of a bulge on the panel's outline and leads, readable in black and white. */
import { boundsMm, escapeXml, svgNumber, type XyMm } from '#libs/net';
import type { BulgeFigures } from './bulge-figures.js';
import { contours, type Stretch } from './contours.js';
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

/** Height from line to line that gives some eight lines, and no more than the noise allows. */
function contourStepMm(rangeMm: number, noiseMm: number): number {
  const wanted = Math.max(rangeMm / 8, noiseMm);
  return STEPS_NICE.find((step) => step >= wanted) ?? STEPS_NICE.at(-1)!;
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
    contourStepMm(Math.abs(figures.maximumMm.value) + Math.abs(figures.oppositeMm), noiseMm);
  const margin = letters * 1.5;
  const below = (caption.length + 3.8) * letters * 1.4;
  const stretches = contours(heights, step);
  const view = [box.minX - margin, box.minY - margin, width + 2 * margin, height + margin + below];
  const path = (line: readonly XyMm[]) =>
    `M${line.map(([x, y]) => `${svgNumber(x)} ${svgNumber(y)}`).join('L')}`;
  const leads = leadsMm.map((line) => path(line)).join('');
  const parts = [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="${view.map(svgNumber).join(' ')}" font-family="sans-serif" font-size="${svgNumber(letters)}">`,
    `<rect x="${svgNumber(view[0]!)}" y="${svgNumber(view[1]!)}" width="${svgNumber(view[2]!)}" height="${svgNumber(view[3]!)}" fill="#fff"/>`,
    leads === ''
      ? ''
      : `<path d="${leads}" fill="none" stroke="#999" stroke-width="${svgNumber(size / 400)}"/>`,
    `<path d="${path(outlineMm)}Z" fill="none" stroke="#000" stroke-width="${svgNumber(size / 220)}"/>`,
    ...readings
      .filter(
        ([x, y]) =>
          x >= box.minX - 1 && x <= box.maxX + 1 && y >= box.minY - 1 && y <= box.maxY + 1,
      )
      .slice(0, 1200)
      .map(
        ([x, y]) =>
          `<circle cx="${svgNumber(x)}" cy="${svgNumber(y)}" r="${svgNumber(size / 500)}" fill="#000"/>`,
      ),
    ...stretches.map(({ level, line }) => {
      const dash =
        level === 0
          ? ` stroke-dasharray="${svgNumber(size / 400)} ${svgNumber(size / 120)}" stroke-linecap="round"`
          : level < 0
            ? ` stroke-dasharray="${svgNumber(size / 60)} ${svgNumber(size / 110)}"`
            : '';
      const isHeavy = Math.abs(Math.round(level / step)) % 5 === 0 && level !== 0;
      return `<path d="${path(line)}" fill="none" stroke="#000" stroke-width="${svgNumber(size / (isHeavy ? 260 : 480))}"${dash}/>`;
    }),
    ...labels(stretches, letters),
    cross(figures.atMm, letters),
    ...words(figures, step, box.minX, box.maxY + letters * 1.8, letters, caption, width),
    '</svg>',
  ];
  return parts.filter((part) => part !== '').join('\n');
}

function labels(stretches: readonly Stretch[], letters: number): string[] {
  return stretches.flatMap(({ level, line }) => {
    if (line.length < 8) return [];
    const [x, y] = line[Math.floor(line.length / 3)]!;
    const text = `${level > 0 ? '+' : ''}${tidy(level)}`;
    return [
      `<text x="${svgNumber(x)}" y="${svgNumber(y + letters / 3)}" text-anchor="middle" stroke="#fff" stroke-width="${svgNumber(letters / 4)}" paint-order="stroke" fill="#000">${text}</text>`,
    ];
  });
}

function cross([x, y]: XyMm, letters: number): string {
  const arm = letters * 0.7;
  return `<path d="M${svgNumber(x - arm)} ${svgNumber(y)}h${svgNumber(2 * arm)}M${svgNumber(x)} ${svgNumber(y - arm)}v${svgNumber(2 * arm)}" stroke="#000" stroke-width="${svgNumber(letters / 5)}"/>`;
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
        `<text x="${svgNumber(x)}" y="${svgNumber(y + i * letters * 1.4)}">${escapeXml(line)}</text>`,
    ),
    `<path d="M${svgNumber(x)} ${svgNumber(y + (lines.length - 0.2) * letters * 1.4)}h${bar}" stroke="#000" stroke-width="${svgNumber(letters / 4)}"/>`,
    `<text x="${svgNumber(x + bar + letters / 2)}" y="${svgNumber(y + (lines.length + 0.05) * letters * 1.4)}">${bar} mm</text>`,
  ];
}

function tidy(value: number): string {
  return String(Math.round(value * 10) / 10).replace('-', '−');
}
