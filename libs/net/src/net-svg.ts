/** The lead drawing as SVG at 1:1: one unit is one millimetre. */
import type { Curve } from './curve/curve-parts.js';
import { netCurves } from './curve/net-curves.js';
import { drawingWords } from './drawing-words.js';
import type { Net, NetLead, XyMm } from './net.js';
import { numberSizeMm } from './number-size.js';
import { boundsMm } from './ring.js';
import { curvePath, escapeXml, svgNumber as format } from './svg-path.js';

export interface NetSvgOptions {
  /** Printed at the foot: the panel's mark and what drawing this is. */
  readonly title?: string;
  /** Paper round the panel, default 15 mm. */
  readonly marginMm?: number;
  /** Turned over left to right, for work from outside; the numbers stay readable. */
  readonly mirrored?: boolean;
}

const FOOT_MM = 12;

/**
 * Leads as bands with true edges (the outline less what is seen of the glass), centre lines, piece
 * numbers, a scale bar and a check square to measure after printing.
 */
export function netSvg(net: Net, options: NetSvgOptions = {}): string {
  const margin = options.marginMm ?? 15;
  const curves = netCurves(net, options);
  const words = drawingWords(net, options);
  const box = boundsMm(net.outlineMm);
  const panelWidth = box.maxX - box.minX;
  const checkMm = panelWidth >= 220 ? 100 : 50;
  const barMm = Math.max(50, Math.floor((panelWidth - checkMm - 20) / 50) * 50);
  const width = Math.max(panelWidth, checkMm + barMm + 20) + 2 * margin;
  const footTop = box.maxY + margin;
  const height = box.maxY - box.minY + 2 * margin + FOOT_MM + checkMm + margin;
  const left = box.minX - margin;
  const view = [left, box.minY - margin, width, height].map(format).join(' ');
  const title = options.title ?? 'Lead drawing';
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${format(width)}mm" height="${format(height)}mm" viewBox="${view}">`,
    `<title>${escapeXml(title)}</title>`,
    `<desc>Scale 1:1. One unit is one millimetre. ${words.join(' ')} Print at 100 % and measure the check square.</desc>`,
    '<style>.band{fill:#d8d5ce;stroke:#1c1b19;stroke-width:.25}.glass{fill:#fff;stroke:#1c1b19;stroke-width:.25}.centre{fill:none;stroke:#6b675f;stroke-width:.15}.mending{stroke-dasharray:3 1}.broken{stroke-dasharray:1 1;stroke-width:.35}.strap{stroke:#1c1b19;stroke-dasharray:.6 .8}text{font-family:sans-serif;fill:#1c1b19}.number{text-anchor:middle;dominant-baseline:central}.rule{fill:none;stroke:#1c1b19;stroke-width:.25}.ink{fill:#1c1b19}</style>',
    `<path id="outline" class="band" d="${curvePath(curves.outline, true)}"/>`,
    '<g id="glass">',
    ...net.pieces.map(
      ({ pieceId }, i) =>
        `<path class="glass" fill-rule="evenodd" data-piece="${pieceId}" d="${curves.sight[i]!.map((ring) => curvePath(ring, true)).join('')}"/>`,
    ),
    '</g>',
    '<g id="leads">',
    ...net.leads.map((lead, i) => leadPath(lead, curves.leads[i]!)),
    '</g>',
    '<g id="numbers">',
    ...net.pieces.map(({ pieceId, labelRadiusMm }, i) => {
      const [x, y] = curves.labelsMm[i]!;
      const size = numberSizeMm(pieceId, labelRadiusMm);
      return `<text class="number" x="${format(x)}" y="${format(y)}" font-size="${format(size)}">${pieceId}</text>`;
    }),
    '</g>',
    scaleBar([box.minX, footTop], barMm),
    checkSquare([box.minX + barMm + 20, footTop], checkMm),
    `<text x="${format(box.minX)}" y="${format(footTop + 16)}" font-size="4">${escapeXml(title)}</text>`,
    ...words.map(
      (line, i) =>
        `<text x="${format(box.minX)}" y="${format(footTop + 23 + 5.5 * i)}" font-size="${i === 0 && options.mirrored === true ? 5 : 3.5}">${line}</text>`,
    ),
    '</svg>',
    '',
  ].join('\n');
}

function leadPath({ leadId, kind, faceWidthMm }: NetLead, curve: Curve): string {
  const line = curvePath(curve, false);
  const centre = `<path class="centre ${kind}" data-lead="${leadId}" data-face-mm="${format(faceWidthMm)}" d="${line}"/>`;
  if (kind !== 'strap') return centre;
  return `<path fill="none" stroke="#1c1b19" stroke-opacity=".18" stroke-width="${format(faceWidthMm)}" d="${line}"/>${centre}`;
}

function scaleBar([x, y]: XyMm, lengthMm: number): string {
  const parts = [
    `<g id="scale-bar"><rect class="rule" x="${format(x)}" y="${format(y)}" width="${lengthMm}" height="3"/>`,
  ];
  for (let at = 0; at < lengthMm; at += 20) {
    const piece = Math.min(10, lengthMm - at);
    parts.push(
      `<rect class="ink" x="${format(x + at)}" y="${format(y)}" width="${piece}" height="3"/>`,
    );
  }
  parts.push(
    `<text x="${format(x)}" y="${format(y + 8)}" font-size="4">0</text>`,
    `<text x="${format(x + lengthMm)}" y="${format(y + 8)}" font-size="4" text-anchor="end">${lengthMm} mm</text></g>`,
  );
  return parts.join('');
}

function checkSquare([x, y]: XyMm, sideMm: number): string {
  return (
    `<g id="check-square"><rect class="rule" x="${format(x)}" y="${format(y)}" width="${sideMm}" height="${sideMm}"/>` +
    `<text x="${format(x + 3)}" y="${format(y + 8)}" font-size="4">${sideMm} × ${sideMm} mm: measure me</text></g>`
  );
}
