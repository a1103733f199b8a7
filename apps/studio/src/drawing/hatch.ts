/**
 * Hatch and colour of findings, drawn the same on canvas and in SVG. Colours are the Okabe-Ito set;
 * the hatch carries the meaning when printed without colour. Which term has which comes from the
 * vocabulary; this file only knows how to draw.
 */

export interface HatchLook {
  readonly colour: string;
  readonly pattern: string;
}

const sizePx = 9;
/** SVG path data of one tile, and whether its strokes are dots (round caps on points). */
const tiles: Readonly<Record<string, { d: string; dots?: boolean }>> = {
  diagonal: { d: 'M0 9L9 0M-2 2L2-2M7 11L11 7' },
  'diagonal-back': { d: 'M0 0L9 9M-2 7L2 11M7-2L11 2' },
  cross: { d: 'M0 9L9 0M0 0L9 9' },
  horizontal: { d: 'M0 4.500H9' },
  vertical: { d: 'M4.500 0V9' },
  grid: { d: 'M0 4.500H9M4.500 0V9' },
  dots: { d: 'M2.200 2.200h.01M6.700 6.700h.01', dots: true },
  ticks: { d: 'M1 3l3 3M6 7l2-4' },
  waves: { d: 'M0 5q2.250-4 4.500 0t4.500 0' },
};

export const hatchTile = (pattern: string): { d: string; dots?: boolean } =>
  tiles[pattern] ?? tiles['diagonal']!;

const made = new Map<string, CanvasPattern>();

/** A canvas fill: faint ground, hatch in full colour. */
export function hatchFill({ colour, pattern }: HatchLook): CanvasPattern | string {
  const key = `${colour}/${pattern}`;
  const known = made.get(key);
  if (known) return known;
  const ratio = Math.max(1, Math.round(window.devicePixelRatio));
  const canvas = document.createElement('canvas');
  canvas.width = canvas.height = sizePx * ratio;
  const context = canvas.getContext('2d');
  if (!context) return colour;
  context.scale(ratio, ratio);
  context.fillStyle = `${colour}38`;
  context.fillRect(0, 0, sizePx, sizePx);
  const tile = hatchTile(pattern);
  context.strokeStyle = colour;
  context.lineCap = 'round';
  context.lineWidth = tile.dots ? 2.6 : 1.5;
  context.stroke(new Path2D(tile.d));
  const fill = context.createPattern(canvas, 'repeat');
  if (!fill) return colour;
  made.set(key, fill);
  return fill;
}
