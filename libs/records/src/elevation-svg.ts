/** The window's elevation as SVG, with the panels that hold findings. */
import { boundsMm, type XyMm } from '#libs/net';
import { fittingScale } from './drawing-svg.js';
import type { RecordElevation } from './record.js';

/** Room on the page; an elevation is an overview, not a drawing to measure on. */
export const ELEVATION_ROOM_MM = [120, 120] as const;

/** A stand-alone SVG at a round scale; its size is in paper millimetres. */
export function elevationSvg({ mark, openingRingMm, panels }: RecordElevation): string {
  const box = boundsMm([...openingRingMm, ...panels.flatMap((panel) => panel.ringMm)]);
  const [width, height] = [box.maxX - box.minX, box.maxY - box.minY];
  const scale = fittingScale({ widthMm: width, heightMm: height }, ELEVATION_ROOM_MM);
  const margin = 2 * scale;
  const view = [box.minX - margin, box.minY - margin, width + 2 * margin, height + 7 * scale];
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="${mark}, elevation" width="${num(view[2]! / scale)}mm" height="${num(view[3]! / scale)}mm" viewBox="${view.map(num).join(' ')}">`,
    `<path d="${path(openingRingMm)}Z" fill="none" stroke="#2a2723" stroke-width="${num(0.5 * scale)}"/>`,
    ...panels.map(({ ringMm, findings, isSubject }) => {
      const fill = findings > 0 ? '#ead9b4' : '#fff';
      const stroke = isSubject
        ? `stroke="#a8720c" stroke-width="${num(0.9 * scale)}"`
        : `stroke="#2a2723" stroke-width="${num(0.15 * scale)}"`;
      return `<path d="${path(ringMm)}Z" fill="${fill}" ${stroke}/>`;
    }),
    ...panels
      .filter((panel) => panel.findings > 0)
      .map(({ ringMm, findings }) => {
        const { minX, maxX, minY, maxY } = boundsMm(ringMm);
        const size = Math.min(3 * scale, 0.7 * (maxY - minY));
        return `<text x="${num((minX + maxX) / 2)}" y="${num((minY + maxY) / 2)}" font-size="${num(size)}" text-anchor="middle" dominant-baseline="central">${findings}</text>`;
      }),
    `<text x="${num(box.minX)}" y="${num(box.maxY + 4.4 * scale)}" font-size="${num(2.8 * scale)}">${mark}, 1 : ${scale} printed at 100 %</text>`,
    '</svg>',
  ].join('');
}

function path(points: readonly XyMm[]): string {
  return points.map(([x, y], i) => `${i === 0 ? 'M' : 'L'}${num(x)} ${num(y)}`).join('');
}

function num(value: number): string {
  return String(Math.round(value * 100) / 100 + 0);
}
