/**
 * Signs of findings on the map: hatch, stroke and shape of the vocabulary, at paper size on the
 * screen whatever the zoom. The hatch carries the meaning when printed without colour.
 */
import {
  AREA_HATCHES,
  inkOf,
  LINE_STROKES,
  type LineStroke,
  OKABE_ITO,
  POINT_SHAPES,
  type PointShape,
  type TermSign,
} from '#libs/vocabulary';

/** CSS px of one millimetre on paper (96 px an inch), drawn a little larger for the screen. */
export const pxPerPaperMm = (96 / 25.4) * 1.15;

export const signColour = (sign: TermSign): string => OKABE_ITO[sign.colour];
export const lineStroke = (sign: TermSign): LineStroke => LINE_STROKES[sign.line ?? 'plain'];
export const pointShape = (sign: TermSign): PointShape => POINT_SHAPES[sign.point ?? 'circle'];

const made = new Map<string, CanvasPattern>();

/** The fill of an area: faint tint, hatch in full ink. */
export function areaFill(sign: TermSign): CanvasPattern | string {
  const name = sign.area ?? 'lines-45';
  const key = `${sign.colour}/${name}`;
  const known = made.get(key);
  if (known) return known;
  const tile = AREA_HATCHES[name];
  const { ink, tint } = inkOf(sign.colour);
  const ratio = Math.max(1, window.devicePixelRatio);
  const canvas = document.createElement('canvas');
  // Whole px, or the hatch would show seams.
  canvas.width = Math.max(2, Math.round(tile.widthMm * pxPerPaperMm * ratio));
  canvas.height = Math.max(2, Math.round(tile.heightMm * pxPerPaperMm * ratio));
  const context = canvas.getContext('2d');
  if (!context) return tint;
  context.scale(canvas.width / tile.widthMm, canvas.height / tile.heightMm);
  context.globalAlpha = 0.3;
  context.fillStyle = tint;
  context.fillRect(0, 0, tile.widthMm, tile.heightMm);
  context.globalAlpha = 1;
  context.strokeStyle = context.fillStyle = ink;
  context.lineWidth = tile.strokeMm * 1.25;
  context.lineCap = 'round';
  for (const line of tile.lines as readonly (readonly (readonly [number, number])[])[]) {
    context.beginPath();
    line.forEach(([x, y], index) => {
      if (index === 0) context.moveTo(x, y);
      else context.lineTo(x, y);
    });
    context.stroke();
  }
  for (const [x, y, r] of tile.dots as readonly (readonly [number, number, number])[]) {
    context.beginPath();
    context.arc(x, y, r, 0, 2 * Math.PI);
    context.fill();
  }
  for (const [x, y, r] of tile.rings as readonly (readonly [number, number, number])[]) {
    context.beginPath();
    context.arc(x, y, r, 0, 2 * Math.PI);
    context.stroke();
  }
  const fill = context.createPattern(canvas, 'repeat');
  if (!fill) return tint;
  made.set(key, fill);
  return fill;
}
