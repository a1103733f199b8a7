/**
 * Fills of the elevation. Each is a hatch of its own, so that a photocopy keeps the meaning; colours
 * that stand side by side are of the palette of libs/vocabulary, told apart by any common colour vision.
 */
import { OKABE_ITO } from '#libs/vocabulary';
import type { WorkState } from '../platform/api/windows.js';
import { token } from '../platform/ground.js';

export interface Hatch {
  readonly ground: string;
  readonly ink: string;
  /** SVG path data in a tile of 8 × 8 px that joins on all sides */
  readonly d: string;
  readonly dots?: boolean;
  /** dark letters are read on it */
  readonly pale?: boolean;
}

export const TILE_PX = 8;

const slant = 'M0 8L8 0M-2 2L2-2M6 10L10 6';
const back = 'M0 0L8 8M-2 6L2 10M6-2L10 2';
const cross = 'M0 8L8 0M0 0L8 8';
const dot = 'M4 4h.01';

/** Nothing was said. */
export const plain: Hatch = {
  ground: token('table-unlit'),
  ink: token('table-unlit-line'),
  d: 'M4 0V8',
};
/** Said, and there is nothing to be seen to. */
export const calm: Hatch = { ground: '#dcd6c6', ink: '#a59c86', d: dot, dots: true, pale: true };
export const dark: Hatch = { ground: '#0b0d0e', ink: '#6d777b', d: slant };
export const amber: Hatch = { ground: '#e2a42b', ink: '#7a5200', d: 'M0 4H8', pale: true };
/** Said, and the answer is that nobody knows. */
export const unseen: Hatch = { ground: '#8a9498', ink: '#2b3236', d: 'M1 2H4M5 6H8', pale: true };
export const unreached: Hatch = { ground: '#6f7a7f', ink: '#14181a', d: 'M2 2L6 6M6 2L2 6' };
/** Several at once. */
export const mixed: Hatch = { ground: '#ece9e2', ink: '#1d1b18', d: 'M0 4H8M4 0V8', pale: true };

/** States of work, wherever a window is drawn by them. */
export const workHatches: Readonly<Record<WorkState, Hatch>> = {
  'in-place': plain,
  out: dark,
  'on-bench': amber,
  rebuilt: calm,
};

/** Kinds side by side: as many as can be told apart, the rest is 'others'. */
export const kinds: readonly Hatch[] = [
  { ground: OKABE_ITO['sky-blue'], ink: '#0b3d63', d: slant, pale: true },
  { ground: OKABE_ITO.orange, ink: '#5c3c00', d: 'M0 4H8', pale: true },
  { ground: OKABE_ITO['bluish-green'], ink: '#00281c', d: dot, dots: true, pale: true },
  { ground: OKABE_ITO['reddish-purple'], ink: '#3f1029', d: back, pale: true },
  { ground: OKABE_ITO.yellow, ink: '#5b5400', d: 'M2 0V8M6 0V8', pale: true },
  { ground: OKABE_ITO.blue, ink: '#bfe3ff', d: 'M0 2H8M0 6H8' },
];
export const others: Hatch = {
  ground: '#b9b3a4',
  ink: '#4d483c',
  d: 'M0 0H8M0 4H8M2 0V4M6 4V8',
  pale: true,
};

/** From none to most. */
export const steps: readonly Hatch[] = [
  calm,
  { ground: OKABE_ITO['sky-blue'], ink: '#0b3d63', d: slant, pale: true },
  { ground: OKABE_ITO.orange, ink: '#4a3000', d: 'M0 2H8M0 6H8', pale: true },
  { ground: OKABE_ITO.vermilion, ink: '#1d0c00', d: cross, pale: true },
];

/** How its lines are drawn in a tile. */
export const hatchLine = ({ dots }: Hatch): { width: number; cap: 'round' | 'butt' } =>
  dots ? { width: 2.4, cap: 'round' } : { width: 1.3, cap: 'butt' };

const made = new Map<Hatch, CanvasPattern | string>();

/** The hatch as a fill; its tile keeps its size on the screen whatever the zoom. */
export function hatchFill(hatch: Hatch): CanvasPattern | string {
  const known = made.get(hatch);
  if (known !== undefined) return known;
  const ratio = Math.max(1, Math.round(window.devicePixelRatio));
  const canvas = document.createElement('canvas');
  canvas.width = canvas.height = TILE_PX * ratio;
  const context = canvas.getContext('2d');
  if (!context) return hatch.ground;
  context.scale(ratio, ratio);
  context.fillStyle = hatch.ground;
  context.fillRect(0, 0, TILE_PX, TILE_PX);
  context.strokeStyle = hatch.ink;
  const { width, cap } = hatchLine(hatch);
  context.lineWidth = width;
  context.lineCap = cap;
  context.stroke(new Path2D(hatch.d));
  const fill = context.createPattern(canvas, 'repeat') ?? hatch.ground;
  made.set(hatch, fill);
  return fill;
}
