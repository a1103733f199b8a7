/** A small RGB picture to draw on, in millimetres of the sheet. */
export type Rgb = readonly [number, number, number];

export interface Canvas {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly rgb: Uint8Array;
  readonly pxPerMm: number;
  /** Place of the centre of pixel (0, 0). */
  readonly originMm: readonly [number, number];
}

export const PAPER: Rgb = [243, 239, 230];
export const LEAD: Rgb = [26, 26, 28];
export const STAIN: Rgb = [214, 144, 20];
export const WARN: Rgb = [196, 62, 28];
export const GROUND: Rgb = [52, 60, 64];
export const QUIET: Rgb = [120, 114, 104];

export function mix(a: Rgb, b: Rgb, share: number): Rgb {
  const t = share < 0 ? 0 : share > 1 ? 1 : share;
  return [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]), a[2] + t * (b[2] - a[2])];
}

/** A new picture of the same size, each pixel from a function of its index. */
export function painted(like: Omit<Canvas, 'rgb'>, colour: (i: number) => Rgb): Canvas {
  const n = like.widthPx * like.heightPx;
  const rgb = new Uint8Array(3 * n);
  for (let i = 0; i < n; i++) {
    const c = colour(i);
    rgb[3 * i] = c[0];
    rgb[3 * i + 1] = c[1];
    rgb[3 * i + 2] = c[2];
  }
  return { ...like, rgb };
}

export function copyOf(canvas: Canvas): Canvas {
  return { ...canvas, rgb: canvas.rgb.slice() };
}

/** A line of even width with soft edges; `line` in millimetres. */
export function drawLine(
  canvas: Canvas,
  line: readonly (readonly [number, number])[],
  widthMm: number,
  colour: Rgb,
): void {
  const half = Math.max(0.5, (widthMm / 2) * canvas.pxPerMm);
  const at = ([x, y]: readonly [number, number]): [number, number] => [
    (x - canvas.originMm[0]) * canvas.pxPerMm,
    (y - canvas.originMm[1]) * canvas.pxPerMm,
  ];
  for (let k = 1; k < line.length; k++) {
    const [ax, ay] = at(line[k - 1]!);
    const [bx, by] = at(line[k]!);
    drawSegment(canvas, ax, ay, bx, by, half, colour);
  }
}

function drawSegment(
  canvas: Canvas,
  ax: number,
  ay: number,
  bx: number,
  by: number,
  half: number,
  colour: Rgb,
): void {
  const dx = bx - ax;
  const dy = by - ay;
  const square = dx * dx + dy * dy;
  box(
    canvas,
    Math.min(ax, bx),
    Math.min(ay, by),
    Math.max(ax, bx),
    Math.max(ay, by),
    half + 1,
    (x, y) => {
      const t = square > 0 ? Math.min(1, Math.max(0, ((x - ax) * dx + (y - ay) * dy) / square)) : 0;
      blend(canvas, x, y, colour, half + 0.5 - Math.hypot(x - ax - t * dx, y - ay - t * dy));
    },
  );
}

/** A ring round a place, millimetres. */
export function drawRing(
  canvas: Canvas,
  xMm: number,
  yMm: number,
  radiusMm: number,
  widthMm: number,
  colour: Rgb,
): void {
  const cx = (xMm - canvas.originMm[0]) * canvas.pxPerMm;
  const cy = (yMm - canvas.originMm[1]) * canvas.pxPerMm;
  const r = radiusMm * canvas.pxPerMm;
  const half = Math.max(0.6, (widthMm / 2) * canvas.pxPerMm);
  box(canvas, cx, cy, cx, cy, r + half + 1, (x, y) => {
    blend(canvas, x, y, colour, half + 0.5 - Math.abs(Math.hypot(x - cx, y - cy) - r));
  });
}

/** A filled spot, millimetres. */
export function drawSpot(
  canvas: Canvas,
  xMm: number,
  yMm: number,
  radiusMm: number,
  colour: Rgb,
): void {
  drawRing(canvas, xMm, yMm, radiusMm / 2, radiusMm, colour);
}

function box(
  { widthPx, heightPx }: Canvas,
  minX: number,
  minY: number,
  maxX: number,
  maxY: number,
  margin: number,
  visit: (x: number, y: number) => void,
): void {
  const x0 = Math.max(0, Math.ceil(minX - margin));
  const y0 = Math.max(0, Math.ceil(minY - margin));
  const x1 = Math.min(widthPx - 1, Math.floor(maxX + margin));
  const y1 = Math.min(heightPx - 1, Math.floor(maxY + margin));
  for (let y = y0; y <= y1; y++) for (let x = x0; x <= x1; x++) visit(x, y);
}

function blend({ widthPx, rgb }: Canvas, x: number, y: number, colour: Rgb, share: number): void {
  if (share <= 0) return;
  const t = share < 1 ? share : 1;
  const i = 3 * (y * widthPx + x);
  for (let c = 0; c < 3; c++) rgb[i + c] = rgb[i + c]! + t * (colour[c]! - rgb[i + c]!);
}

/** Left and right exchanged: a rubbing of the outside as the panel looks from inside. */
export function mirroredRgb({ widthPx, heightPx, rgb }: Canvas): Uint8Array {
  const out = new Uint8Array(rgb.length);
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      const from = 3 * (y * widthPx + x);
      out.set(rgb.subarray(from, from + 3), 3 * (y * widthPx + widthPx - 1 - x));
    }
  }
  return out;
}
