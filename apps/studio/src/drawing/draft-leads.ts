/**
 * Leads on a 2D canvas: bands of true width that merge at the joints and let the wax shine through, and
 * their centre lines. Each lead is kept as a path in mm, so that a frame is a few strokes.
 */
import type { DrawnLead } from '#libs/net';
import { type CanvasView, draftLook, inMm } from './draft-view.js';
import type { Xy } from './plane.js';

const paths = new WeakMap<
  DrawnLead,
  { path: Path2D; box: readonly [number, number, number, number] }
>();

function pathOf(lead: DrawnLead) {
  const known = paths.get(lead);
  if (known) return known;
  const path = new Path2D();
  let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity];
  lead.lineMm.forEach(([x, y], i) => {
    if (i === 0) path.moveTo(x, y);
    else path.lineTo(x, y);
    minX = Math.min(minX, x);
    minY = Math.min(minY, y);
    maxX = Math.max(maxX, x);
    maxY = Math.max(maxY, y);
  });
  const made = { path, box: [minX, minY, maxX, maxY] as const };
  paths.set(lead, made);
  return made;
}

/** Leads of one tenth of a millimetre of width as one path, so that they are one stroke. */
function byWidth(leads: Iterable<DrawnLead>, view: CanvasView): Map<number, Path2D> {
  const groups = new Map<number, Path2D>();
  const [left, top] = [-view.leftPx / view.pxPerMm, -view.topPx / view.pxPerMm];
  const [right, bottom] = [left + view.widthPx / view.pxPerMm, top + view.heightPx / view.pxPerMm];
  for (const lead of leads) {
    const { path, box } = pathOf(lead);
    const air = lead.faceWidthMm;
    if (box[2] < left - air || box[0] > right + air || box[3] < top - air || box[1] > bottom + air)
      continue;
    const width = Math.round(lead.faceWidthMm * 10) / 10;
    const group = groups.get(width) ?? new Path2D();
    group.addPath(path);
    groups.set(width, group);
  }
  return groups;
}

/**
 * Paints leads. Their edges are drawn wider first and the bands cut out of them, so that edges run
 * round a joint as round one piece of lead; the canvas must hold nothing else yet.
 */
export function paintLeads(
  context: CanvasRenderingContext2D,
  view: CanvasView,
  leads: Iterable<DrawnLead>,
  glass: number,
): void {
  const groups = byWidth(leads, view);
  const px = view.ratio / view.pxPerMm;
  inMm(context, view);
  context.lineJoin = 'round';
  context.lineCap = 'round';
  const stroke = (style: string, widthOf: (mm: number) => number) => {
    context.strokeStyle = style;
    for (const [width, path] of groups) {
      context.lineWidth = widthOf(width);
      context.stroke(path);
    }
  };
  if (glass < 0.95) {
    stroke('#0b0d0e', (mm) => mm + 4.2 * px);
    stroke(draftLook.edge, (mm) => mm + 2.2 * px);
    context.globalCompositeOperation = 'destination-out';
    stroke('#000', (mm) => Math.max(mm - 0.6 * px, 0.4 * mm));
    context.globalCompositeOperation = 'source-over';
    stroke('#0b0d0ecc', () => 3 * px);
    stroke(draftLook.core, () => 1.2 * px);
  } else {
    stroke(draftLook.lead, (mm) => Math.max(mm, px));
    stroke('#59646a', () => 1.2 * px);
  }
}

/** Glass under everything, as strongly as no picture lies there. */
export function paintGlass(
  context: CanvasRenderingContext2D,
  view: CanvasView,
  outline: readonly Xy[],
  glass: number,
): void {
  if (glass <= 0.01 || outline.length < 3) return;
  inMm(context, view);
  context.globalAlpha = glass;
  context.fillStyle = draftLook.glass;
  context.beginPath();
  outline.forEach(([x, y], i) => {
    if (i === 0) context.moveTo(x, y);
    else context.lineTo(x, y);
  });
  context.fill();
  context.globalAlpha = 1;
}

/** Lines of even width along leads: what is chosen, what is doubtful. */
export function strokeLeads(
  context: CanvasRenderingContext2D,
  view: CanvasView,
  leads: readonly DrawnLead[],
  style: string,
  widthPx: number,
  dashPx: readonly number[] = [],
): void {
  if (leads.length === 0) return;
  const px = view.ratio / view.pxPerMm;
  inMm(context, view);
  context.strokeStyle = style;
  context.lineWidth = widthPx * px;
  context.setLineDash(dashPx.map((length) => length * px));
  const all = new Path2D();
  for (const lead of leads) all.addPath(pathOf(lead).path);
  context.stroke(all);
  context.setLineDash([]);
}
