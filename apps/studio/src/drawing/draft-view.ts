/** How the drawing in the making lies on a canvas, and its colours. */
import type { Xy } from './plane.js';

/** Panel mm → px of the canvas: scale, then shift. */
export interface CanvasView {
  readonly pxPerMm: number;
  readonly leftPx: number;
  readonly topPx: number;
  readonly widthPx: number;
  readonly heightPx: number;
  /** canvas px per CSS px */
  readonly ratio: number;
}

export const draftLook = {
  lead: '#0c0d0d',
  edge: '#fbf7ec',
  core: '#fbf7ec',
  stain: '#e2a42b',
  wrong: '#ff7a4d',
  glass: '#d9dcd3',
} as const;
export function inMm(context: CanvasRenderingContext2D, view: CanvasView): void {
  context.setTransform(view.pxPerMm, 0, 0, view.pxPerMm, view.leftPx, view.topPx);
}

export function inPx(context: CanvasRenderingContext2D): void {
  context.setTransform(1, 0, 0, 1, 0, 0);
}

export const onCanvas = (view: CanvasView, [x, y]: Xy): [number, number] => [
  x * view.pxPerMm + view.leftPx,
  y * view.pxPerMm + view.topPx,
];

export const isOff = ({ widthPx, heightPx }: CanvasView, x: number, y: number) =>
  x < -40 || y < -40 || x > widthPx + 40 || y > heightPx + 40;
