/** Small signs over the drawing, each told from the others by its shape, not by colour alone. */
import type { Target } from '#libs/net';
import { type CanvasView, draftLook, onCanvas } from './draft-view.js';
import type { Xy } from './plane.js';

/** A lead that is being drawn. */
export function paintLine(
  context: CanvasRenderingContext2D,
  view: CanvasView,
  line: readonly Xy[],
) {
  const px = view.ratio;
  const points = line.map((place) => onCanvas(view, place));
  for (const [style, width] of [
    ['#0b0d0e', 6],
    [draftLook.stain, 3],
  ] as const) {
    context.strokeStyle = style;
    context.lineWidth = width * px;
    context.beginPath();
    points.forEach(([x, y], i) => {
      if (i === 0) context.moveTo(x, y);
      else context.lineTo(x, y);
    });
    context.stroke();
  }
  const [first] = points;
  if (first) dot(context, ...first, 5 * px, draftLook.stain, '#0b0d0e', 2 * px);
}

/** A square on a joint, a diamond on a lead: told apart without colour. */
export function paintSnap(context: CanvasRenderingContext2D, view: CanvasView, snap: Target) {
  const px = view.ratio;
  const [x, y] = onCanvas(view, snap.xyMm);
  const r = 9 * px;
  for (const [style, width] of [
    ['#0b0d0e', 6],
    [draftLook.edge, 2.6],
  ] as const) {
    context.strokeStyle = style;
    context.lineWidth = width * px;
    context.beginPath();
    if (snap.on === 'joint') context.rect(x - r, y - r, 2 * r, 2 * r);
    else {
      context.moveTo(x, y - r * 1.3);
      context.lineTo(x + r * 1.3, y);
      context.lineTo(x, y + r * 1.3);
      context.lineTo(x - r * 1.3, y);
      context.closePath();
    }
    context.stroke();
  }
}

export function dot(
  context: CanvasRenderingContext2D,
  x: number,
  y: number,
  r: number,
  fill: string,
  rim: string,
  width: number,
): void {
  context.beginPath();
  context.arc(x, y, r, 0, 2 * Math.PI);
  context.fillStyle = fill;
  context.fill();
  context.strokeStyle = rim;
  context.lineWidth = width;
  context.stroke();
}

export function ring(
  context: CanvasRenderingContext2D,
  x: number,
  y: number,
  r: number,
  style: string,
  width: number,
): void {
  context.beginPath();
  context.arc(x, y, r, 0, 2 * Math.PI);
  context.strokeStyle = style;
  context.lineWidth = width;
  context.stroke();
}

/** Something is wrong here: a ring with a cross in it. */
export function cross(context: CanvasRenderingContext2D, x: number, y: number, px: number): void {
  for (const [style, width] of [
    ['#0b0d0e', 6],
    [draftLook.wrong, 3],
  ] as const) {
    ring(context, x, y, 15 * px, style, width * px);
    context.beginPath();
    for (const side of [1, -1]) {
      context.moveTo(x - 6 * px, y - 6 * px * side);
      context.lineTo(x + 6 * px, y + 6 * px * side);
    }
    context.stroke();
  }
}

/** Where the keys aim: cross hairs that leave the place itself open. */
export function paintAim(
  context: CanvasRenderingContext2D,
  x: number,
  y: number,
  px: number,
): void {
  for (const [style, width] of [
    ['#0b0d0e', 5],
    [draftLook.edge, 2],
  ] as const) {
    context.strokeStyle = style;
    context.lineWidth = width * px;
    context.beginPath();
    for (const [dx, dy] of [
      [1, 0],
      [-1, 0],
      [0, 1],
      [0, -1],
    ] as const) {
      context.moveTo(x + 7 * px * dx, y + 7 * px * dy);
      context.lineTo(x + 26 * px * dx, y + 26 * px * dy);
    }
    context.stroke();
  }
}
