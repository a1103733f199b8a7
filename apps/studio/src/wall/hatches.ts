/** Fills of the elevation. Each is a hatch of its own, so that a photocopy keeps the meaning. */
import type { Shows } from './shown.js';

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

const plain: Hatch = { ground: '#3b464d', ink: '#4a565d', d: 'M4 0V8' };
const slant = 'M0 8L8 0M-2 2L2-2M6 10L10 6';

const hatches: Readonly<Record<Shows, Readonly<Record<string, Hatch>>>> = {
  work: {
    'in-place': plain,
    out: { ground: '#0b0d0e', ink: '#6d777b', d: slant },
    'on-bench': { ground: '#e2a42b', ink: '#7a5200', d: 'M0 4H8', pale: true },
    rebuilt: { ground: '#dcd6c6', ink: '#a59c86', d: 'M4 4h.01', dots: true, pale: true },
  },
  findings: {
    none: plain,
    few: { ground: '#56b4e9', ink: '#0b3d63', d: slant, pale: true },
    many: { ground: '#d55e00', ink: '#2e1300', d: 'M0 8L8 0M0 0L8 8', pale: true },
  },
  drawings: {
    none: plain,
    drawn: { ground: '#e2a42b', ink: '#7a5200', d: 'M0 4H8', pale: true },
    signed: { ground: '#dcd6c6', ink: '#a59c86', d: 'M4 4h.01', dots: true, pale: true },
  },
};

export const hatchOf = (what: Shows, key: string): Hatch => hatches[what][key] ?? plain;

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
  context.lineWidth = hatch.dots ? 2.4 : 1.3;
  context.lineCap = hatch.dots ? 'round' : 'butt';
  context.stroke(new Path2D(hatch.d));
  const fill = context.createPattern(canvas, 'repeat') ?? hatch.ground;
  made.set(hatch, fill);
  return fill;
}
