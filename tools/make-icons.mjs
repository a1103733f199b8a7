// Draws the studio's icons for home screens: a lozenge of yellow glass in its leads. Run it after a change:
// node tools/make-icons.mjs
import { join } from 'node:path';
import sharp from 'sharp';
import { root } from './bootstrap.mjs';

const GROUND = '#101314';
/** @param room share of the side that the lozenge takes; a home screen may cut the rest away */
const drawing = (room) => `<svg xmlns="http://www.w3.org/2000/svg" viewBox="-50 -50 100 100">
  <rect x="-50" y="-50" width="100" height="100" fill="${GROUND}"/>
  <g transform="scale(${room})" stroke="#0a0b0b" stroke-linejoin="round">
    <path d="M0-50 39 0 0 50-39 0Z" fill="#e2a42b" stroke-width="6"/>
    <path d="M0-50 39 0 19.500 25-19.500-25Z" fill="#f0c269" stroke="none"/>
    <path d="M-19.500-25 19.500 25M19.500-25-19.500 25" fill="none" stroke-width="6"/>
    <path d="M0-50 39 0 0 50-39 0Z" fill="none" stroke="#6d777b" stroke-width="2"/>
  </g>
</svg>`;

const icons = [
  ['icon-180.png', 180, 0.82],
  ['icon-192.png', 192, 0.86],
  ['icon-512.png', 512, 0.86],
  ['icon-cut-512.png', 512, 0.66],
];
for (const [name, sizePx, room] of icons) {
  await sharp(Buffer.from(drawing(room)), { density: 600 })
    .resize(sizePx, sizePx)
    .png({ compressionLevel: 9 })
    .toFile(join(root, 'apps', 'studio', 'public', name));
}
