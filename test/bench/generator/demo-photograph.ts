/**
 * Writes a photograph in transmitted light of a generated panel: `demo-photograph.js CASE OUT.jpg [--crack]`.
 * The glass is drawn from the case's truth: colour by piece, streaks, paint, a hand-held camera's perspective.
 */
import { readFile, writeFile } from 'node:fs/promises';
import sharp from 'sharp';
import { randomStream } from './random-stream.js';

interface Truth {
  panel: { size_mm: [number, number] };
  pieces: { id: number; cut_polygon: [number, number][] }[];
  leads: { line: [number, number][]; width_mm: number }[];
}

const GLASS = [
  '#1f4e8c',
  '#274b78',
  '#7c1f2d',
  '#9c2b2b',
  '#c98a1b',
  '#d9a441',
  '#2f6b4a',
  '#547a3b',
  '#6a4c86',
  '#b9c3b0',
  '#d7d6c2',
  '#c7b58c',
  '#8fa7b5',
  '#3a6ea5',
  '#a8572b',
];
const PX_PER_MM = 4.2;
const MARGIN_MM = 40;

const [caseFolder, out] = process.argv.slice(2);
if (caseFolder === undefined || out === undefined) {
  throw new Error('say which case and where to write: demo-photograph.js CASE OUT.jpg');
}
const truth = JSON.parse(await readFile(`${caseFolder}/truth.json`, 'utf8')) as Truth;
const random = randomStream(`photograph of ${truth.pieces.length}`);
const [w, h] = truth.panel.size_mm;

/** Panel mm → picture px: a camera a little to the left and low. */
function toPicture([x, y]: readonly [number, number]): [number, number] {
  const u = x + MARGIN_MM;
  const v = y + MARGIN_MM;
  const depth = 1 + 0.00011 * u - 0.00007 * v;
  return [(PX_PER_MM * (u + 0.018 * v)) / depth, (PX_PER_MM * (v - 0.012 * u + 8)) / depth];
}
const path = (ring: readonly [number, number][]): string =>
  `M${ring
    .map((p) =>
      toPicture(p)
        .map((n) => n.toFixed(1))
        .join(' '),
    )
    .join('L')}Z`;

const widthPx = Math.round((w + 2 * MARGIN_MM) * PX_PER_MM);
const heightPx = Math.round((h + 2 * MARGIN_MM) * PX_PER_MM);
const pieces = truth.pieces.map(({ cut_polygon: ring }) => {
  const d = path(ring);
  const tone = random.pick(GLASS);
  const [cx, cy] = toPicture(ring[0]!);
  const strokes = Array.from({ length: random.whole(1, 4) }, () => {
    const at = (): string =>
      toPicture(random.pick(ring))
        .map((n) => (n + random.between(-30, 30)).toFixed(1))
        .join(' ');
    return `<path d="M${at()}Q${at()} ${at()}" stroke="#1a1008" stroke-opacity="${random.between(0.25, 0.75).toFixed(2)}" stroke-width="${random.between(2, 7).toFixed(1)}" fill="none"/>`;
  });
  const id = `c${cx.toFixed(0)}-${cy.toFixed(0)}-${random.whole(0, 1e6)}`;
  return `<clipPath id="${id}"><path d="${d}"/></clipPath><g clip-path="url(#${id})"><path d="${d}" fill="${tone}"/><path d="${d}" fill="url(#light)" opacity="${random.between(0.15, 0.6).toFixed(2)}"/>${strokes.join('')}<path d="${d}" fill="none" stroke="#120b06" stroke-opacity="0.45" stroke-width="${random.between(8, 26).toFixed(0)}"/></g>`;
});
const leads = truth.leads.map(({ line, width_mm: faceMm }) => {
  const points = line
    .map((p) =>
      toPicture(p)
        .map((n) => n.toFixed(1))
        .join(' '),
    )
    .join('L');
  const stroke = (mm: number, colour: string): string =>
    `<path d="M${points}" fill="none" stroke="${colour}" stroke-width="${(mm * PX_PER_MM).toFixed(1)}" stroke-linecap="round" stroke-linejoin="round"/>`;
  return stroke(faceMm, '#050505') + stroke(faceMm * 0.45, '#141414');
});
const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${widthPx}" height="${heightPx}">
<defs><radialGradient id="light"><stop offset="0" stop-color="#fffbe8"/><stop offset="1" stop-color="#fffbe8" stop-opacity="0"/></radialGradient>
<filter id="streaks"><feTurbulence type="fractalNoise" baseFrequency="0.006 0.035" numOctaves="4" seed="7"/><feColorMatrix values="0 0 0 0 1  0 0 0 0 1  0 0 0 0 1  0.9 0 0 0 -0.35"/></filter>
<filter id="specks"><feTurbulence type="fractalNoise" baseFrequency="0.4" numOctaves="2" seed="3"/><feColorMatrix values="0 0 0 0 0  0 0 0 0 0  0 0 0 0 0  0 0 0 -2.2 1.1"/></filter></defs>
<rect width="100%" height="100%" fill="#0c0b0a"/>
<g>${pieces.join('')}</g>
<rect width="100%" height="100%" filter="url(#streaks)" opacity="0.2"/>${leads.join('')}<rect width="100%" height="100%" filter="url(#specks)" opacity="0.22"/></svg>`;
const picture = await sharp(Buffer.from(svg)).blur(1.1).jpeg({ quality: 84 }).toBuffer();
await writeFile(out, picture);
// Where a person would tap to place it: joints near the corners and in the middle, half a pixel of hand error.
const wished: [number, number][] = [
  [0, 0],
  [w, 0],
  [w, h],
  [0, h],
  [w / 2, h / 2],
  [w / 2, 0],
];
const ends = truth.leads.map(({ line }) => line[0]!);
const points = wished.map(([x, y]) => {
  const panelXyMm = ends.reduce((p, q) =>
    Math.hypot(q[0] - x, q[1] - y) < Math.hypot(p[0] - x, p[1] - y) ? q : p,
  );
  const imageXyPx = toPicture(panelXyMm).map(
    (n) => Math.round(10 * (n + random.between(-0.5, 0.5))) / 10,
  );
  return { imageXyPx, panelXyMm };
});
await writeFile(out.replace(/\.jpg$/, '.points.json'), JSON.stringify({ points }));
process.stdout.write(`${out}: ${widthPx} × ${heightPx} px\n`);
