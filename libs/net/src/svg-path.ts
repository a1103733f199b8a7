/** Curves and numbers as SVG writes them. */
import { arcRadiusMm, arcSweep, type Curve } from './curve/curve-parts.js';
import type { XyMm } from './net.js';

/** Path data of a curve, to a hundredth of a millimetre. Source: SVG 1.1 section 8.3. */
export function curvePath({ fromMm, parts }: Curve, isClosed: boolean): string {
  const steps = [`M${xy(fromMm)}`];
  let from = fromMm;
  parts.forEach((part, i) => {
    const isLast = i === parts.length - 1;
    if (part.kind === 'line') {
      // The closing line of a ring is drawn by Z.
      if (!(isClosed && isLast)) steps.push(`L${xy(part.toMm)}`);
    } else if (part.kind === 'arc') {
      const radius = svgNumber(arcRadiusMm(from, part));
      const large = Math.abs(arcSweep(from, part)) > Math.PI ? 1 : 0;
      steps.push(`A${radius} ${radius} 0 ${large} ${part.clockwise ? 1 : 0} ${xy(part.toMm)}`);
    } else steps.push(`C${xy(part.c1Mm)} ${xy(part.c2Mm)} ${xy(part.toMm)}`);
    from = part.toMm;
  });
  return steps.join('') + (isClosed ? 'Z' : '');
}

export function svgNumber(value: number): string {
  return String(Math.round(value * 100) / 100 + 0);
}

function xy([x, y]: XyMm): string {
  return `${svgNumber(x)} ${svgNumber(y)}`;
}

export function escapeXml(text: string): string {
  return text
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;');
}
