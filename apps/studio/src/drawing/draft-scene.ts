/**
 * What the drawing board shows of a lead drawing in the making, and how it is painted on a 2D canvas:
 * bands of true width that merge at the joints and let the wax shine through, centre lines, joints,
 * what is chosen, doubtful or wrong. Leads are kept as paths in mm, so that a frame is a few strokes.
 */
import type { Drawing, DrawnLead, Target, Trouble } from '#libs/net';
import type { Xy } from './plane.js';

export interface DraftScene {
  readonly drawing: Drawing;
  readonly chosenLeads: ReadonlySet<string>;
  readonly chosenJoints: ReadonlySet<string>;
  readonly numbers: readonly {
    readonly text: string;
    readonly xyMm: Xy;
    readonly radiusMm: number;
  }[];
  readonly troubles: readonly Trouble[];
  /** what a question is about */
  readonly ring: { readonly xyMm: Xy; readonly radiusMm: number } | null;
  /** a lead that is being drawn, its places so far */
  readonly line: readonly Xy[];
  /** where the pointer would be pulled to */
  readonly snap: Target | null;
  readonly box: readonly [Xy, Xy] | null;
  /** 1: nothing lies under the drawing; 0: only the picture shines */
  readonly glass: number;
  /** the drawing is put aside to see what lies under it */
  readonly hidden: boolean;
}

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

const look = {
  lead: '#0c0d0d',
  edge: '#fbf7ec',
  core: '#fbf7ec',
  stain: '#e2a42b',
  wrong: '#ff7a4d',
  glass: '#d9dcd3',
} as const;
const font = '"Atkinson Hyperlegible Next Variable", sans-serif';

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
    stroke(look.edge, (mm) => mm + 2.2 * px);
    context.globalCompositeOperation = 'destination-out';
    stroke('#000', (mm) => Math.max(mm - 0.6 * px, 0.4 * mm));
    context.globalCompositeOperation = 'source-over';
    stroke('#0b0d0ecc', () => 3 * px);
    stroke(look.core, () => 1.2 * px);
  } else {
    stroke(look.lead, (mm) => Math.max(mm, px));
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
  context.fillStyle = look.glass;
  context.beginPath();
  outline.forEach(([x, y], i) => {
    if (i === 0) context.moveTo(x, y);
    else context.lineTo(x, y);
  });
  context.fill();
  context.globalAlpha = 1;
}

/** Numbers, doubts, joints: everything that lies over the leads and is still while one drags. */
export function paintSigns(
  context: CanvasRenderingContext2D,
  view: CanvasView,
  scene: DraftScene,
  moving: ReadonlySet<string> | null,
): void {
  const { drawing, numbers, glass } = scene;
  const px = view.ratio;
  const doubtful = [...drawing.leads].flatMap(([id, lead]) =>
    lead.doubts.length > 0 && !moving?.has(id) ? [lead] : [],
  );
  strokeLeads(context, view, doubtful, look.stain, 2.6, [7, 6]);
  inPx(context);
  context.textAlign = 'center';
  context.textBaseline = 'middle';
  context.lineJoin = 'round';
  for (const { text, xyMm, radiusMm } of numbers) {
    const room = radiusMm * view.pxPerMm;
    if (room < 8 * px) continue;
    const [x, y] = at(view, xyMm);
    if (isOff(view, x, y)) continue;
    context.font = `600 ${Math.min(20 * px, Math.max(11 * px, room * 0.7))}px ${font}`;
    context.strokeStyle = '#f3efe6e6';
    context.lineWidth = (glass > 0.7 ? 0.01 : 3.5) * px;
    context.strokeText(text, x, y);
    context.fillStyle = '#16181a';
    context.fillText(text, x, y);
  }
  if (!showsJoints(view)) return;
  const unsettled = jointsOf(drawing, moving);
  for (const [id, place] of drawing.joints) {
    if (!unsettled.has(id)) jointDot(context, view, place);
  }
}

/** Closer together than this, joints would hide the leads. */
const showsJoints = (view: CanvasView) => view.pxPerMm / view.ratio > 1.1;

function jointsOf(drawing: Drawing, leadIds: ReadonlySet<string> | null): Set<string> {
  const ids = new Set<string>();
  for (const id of leadIds ?? []) {
    const lead = drawing.leads.get(id);
    if (lead) ids.add(lead.from).add(lead.to);
  }
  return ids;
}

function jointDot(context: CanvasRenderingContext2D, view: CanvasView, place: Xy): void {
  const [x, y] = at(view, place);
  const px = view.ratio;
  if (!isOff(view, x, y)) dot(context, x, y, 3.2 * px, '#fbf7ec', '#0b0d0e', 1.6 * px);
}

/** What changes with every move of the hand. */
export function paintLive(
  context: CanvasRenderingContext2D,
  view: CanvasView,
  scene: DraftScene,
  moving: ReadonlySet<string> | null,
): void {
  const { drawing } = scene;
  const px = view.ratio;
  const chosen = [...scene.chosenLeads].flatMap((id) => drawing.leads.get(id) ?? []);
  strokeLeads(context, view, chosen, '#0b0d0e', 7);
  strokeLeads(context, view, chosen, look.stain, 4);
  inPx(context);
  if (showsJoints(view)) {
    for (const id of jointsOf(drawing, moving)) jointDot(context, view, drawing.joints.get(id)!);
  }
  for (const id of scene.chosenJoints) {
    const place = drawing.joints.get(id);
    if (!place) continue;
    const [x, y] = at(view, place);
    ring(context, x, y, 11 * px, '#0b0d0e', 6 * px);
    ring(context, x, y, 11 * px, look.stain, 3.2 * px);
  }
  for (const { xyMm } of scene.troubles) if (xyMm) cross(context, ...at(view, xyMm), px);
  if (scene.ring) {
    const [x, y] = at(view, scene.ring.xyMm);
    const radius = Math.max(20 * px, scene.ring.radiusMm * view.pxPerMm);
    ring(context, x, y, radius, '#0b0d0e', 6 * px);
    ring(context, x, y, radius, look.stain, 3 * px);
  }
  if (scene.line.length > 0) paintLine(context, view, scene.line);
  if (scene.snap && scene.snap.on !== 'nothing') paintSnap(context, view, scene.snap);
  if (scene.box) {
    const [a, b] = [at(view, scene.box[0]), at(view, scene.box[1])];
    context.setLineDash([6 * px, 5 * px]);
    context.strokeStyle = look.stain;
    context.lineWidth = 2 * px;
    context.strokeRect(a[0], a[1], b[0] - a[0], b[1] - a[1]);
    context.setLineDash([]);
  }
}

function paintLine(context: CanvasRenderingContext2D, view: CanvasView, line: readonly Xy[]) {
  const px = view.ratio;
  const points = line.map((place) => at(view, place));
  for (const [style, width] of [
    ['#0b0d0e', 6],
    [look.stain, 3],
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
  if (first) dot(context, ...first, 5 * px, look.stain, '#0b0d0e', 2 * px);
}

/** A square on a joint, a diamond on a lead: told apart without colour. */
function paintSnap(context: CanvasRenderingContext2D, view: CanvasView, snap: Target) {
  const px = view.ratio;
  const [x, y] = at(view, snap.xyMm);
  const r = 9 * px;
  for (const [style, width] of [
    ['#0b0d0e', 6],
    [look.edge, 2.6],
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

function strokeLeads(
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

function inMm(context: CanvasRenderingContext2D, view: CanvasView): void {
  context.setTransform(view.pxPerMm, 0, 0, view.pxPerMm, view.leftPx, view.topPx);
}

function inPx(context: CanvasRenderingContext2D): void {
  context.setTransform(1, 0, 0, 1, 0, 0);
}

const at = (view: CanvasView, [x, y]: Xy): [number, number] => [
  x * view.pxPerMm + view.leftPx,
  y * view.pxPerMm + view.topPx,
];

const isOff = ({ widthPx, heightPx }: CanvasView, x: number, y: number) =>
  x < -40 || y < -40 || x > widthPx + 40 || y > heightPx + 40;

function dot(
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

function ring(
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
function cross(context: CanvasRenderingContext2D, x: number, y: number, px: number): void {
  for (const [style, width] of [
    ['#0b0d0e', 6],
    [look.wrong, 3],
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
