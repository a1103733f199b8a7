/** The lead drawing as SVG at 1:1: one unit is one millimetre. */
import type { Net, NetLead, XyMm } from './net.js';
import { boundsMm } from './ring.js';

export interface NetSvgOptions {
  /** Printed at the foot: the panel's mark and what drawing this is. */
  readonly title?: string;
  /** Paper round the panel, default 15 mm. */
  readonly marginMm?: number;
}

const FOOT_MM = 12;

/**
 * Leads as bands with true edges (the outline less what is seen of the glass), centre lines, piece
 * numbers, a scale bar and a check square to measure after printing.
 */
export function netSvg(net: Net, options: NetSvgOptions = {}): string {
  const margin = options.marginMm ?? 15;
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
    '<desc>Scale 1:1. One unit is one millimetre. Seen from inside. Print at 100 % and measure the check square.</desc>',
    '<style>.band{fill:#d8d5ce;stroke:#1c1b19;stroke-width:.25}.glass{fill:#fff;stroke:#1c1b19;stroke-width:.25}.centre{fill:none;stroke:#6b675f;stroke-width:.15}.mending{stroke-dasharray:3 1}.broken{stroke-dasharray:1 1;stroke-width:.35}.strap{stroke:#1c1b19;stroke-dasharray:.6 .8}text{font-family:sans-serif;fill:#1c1b19}.number{text-anchor:middle;dominant-baseline:central}.rule{fill:none;stroke:#1c1b19;stroke-width:.25}.ink{fill:#1c1b19}</style>',
    `<path id="outline" class="band" d="${path(net.outlineMm, true)}"/>`,
    '<g id="glass">',
    ...net.pieces.map(
      (piece) =>
        `<path class="glass" fill-rule="evenodd" data-piece="${piece.pieceId}" d="${piece.sightRingsMm.map((ring) => path(ring, true)).join('')}"/>`,
    ),
    '</g>',
    '<g id="leads">',
    ...net.leads.map(leadPath),
    '</g>',
    '<g id="numbers">',
    ...net.pieces.map(({ pieceId, labelMm: [x, y], labelRadiusMm }) => {
      const size = numberSizeMm(pieceId, labelRadiusMm);
      return `<text class="number" x="${format(x)}" y="${format(y)}" font-size="${format(size)}">${pieceId}</text>`;
    }),
    '</g>',
    scaleBar([box.minX, footTop], barMm),
    checkSquare([box.minX + barMm + 20, footTop], checkMm),
    `<text x="${format(box.minX)}" y="${format(footTop + 16)}" font-size="4">${escapeXml(title)}</text>`,
    '</svg>',
    '',
  ].join('\n');
}

/** Height of a number that fits the circle round its place; 2 to 12 mm. */
export function numberSizeMm(text: string, radiusMm: number): number {
  // A digit is about 0.6 of its height wide: the half diagonal of the text's box must fit.
  const half = Math.hypot(0.3 * text.length, 0.4);
  return Math.min(12, Math.max(2, (0.8 * radiusMm) / half));
}

function leadPath({ leadId, kind, lineMm, faceWidthMm }: NetLead): string {
  const centre = `<path class="centre ${kind}" data-lead="${leadId}" data-face-mm="${format(faceWidthMm)}" d="${path(lineMm, false)}"/>`;
  if (kind !== 'strap') return centre;
  return `<path fill="none" stroke="#1c1b19" stroke-opacity=".18" stroke-width="${format(faceWidthMm)}" d="${path(lineMm, false)}"/>${centre}`;
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

function path(points: readonly XyMm[], isClosed: boolean): string {
  const steps = points.map(([x, y], i) => `${i === 0 ? 'M' : 'L'}${format(x)} ${format(y)}`);
  return steps.join('') + (isClosed ? 'Z' : '');
}

function format(value: number): string {
  return String(Math.round(value * 1000) / 1000 + 0);
}

function escapeXml(text: string): string {
  return text
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;');
}
