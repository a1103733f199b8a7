/** What the drawing board shows of a lead drawing in the making: what is still, and what the hand moves. */
import type { Drawing, Target, Trouble } from '#libs/net';
import { strokeLeads } from './draft-leads.js';
import { cross, dot, paintAim, paintLine, paintSnap, ring } from './draft-marks.js';
import { type CanvasView, draftLook, inPx, isOff, onCanvas } from './draft-view.js';
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
  /** where the keys aim, while no pointer does */
  readonly aim: Xy | null;
  /** 1: nothing lies under the drawing; 0: only the picture shines */
  readonly glass: number;
  /** the drawing is put aside to see what lies under it */
  readonly hidden: boolean;
}

const font = '"Atkinson Hyperlegible Next Variable", sans-serif';

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
  strokeLeads(context, view, doubtful, draftLook.stain, 2.6, [7, 6]);
  inPx(context);
  context.textAlign = 'center';
  context.textBaseline = 'middle';
  context.lineJoin = 'round';
  for (const { text, xyMm, radiusMm } of numbers) {
    const room = radiusMm * view.pxPerMm;
    if (room < 8 * px) continue;
    const [x, y] = onCanvas(view, xyMm);
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
  const [x, y] = onCanvas(view, place);
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
  strokeLeads(context, view, chosen, draftLook.stain, 4);
  inPx(context);
  if (showsJoints(view)) {
    for (const id of jointsOf(drawing, moving)) jointDot(context, view, drawing.joints.get(id)!);
  }
  for (const id of scene.chosenJoints) {
    const place = drawing.joints.get(id);
    if (!place) continue;
    const [x, y] = onCanvas(view, place);
    ring(context, x, y, 11 * px, '#0b0d0e', 6 * px);
    ring(context, x, y, 11 * px, draftLook.stain, 3.2 * px);
  }
  for (const { xyMm } of scene.troubles) if (xyMm) cross(context, ...onCanvas(view, xyMm), px);
  if (scene.ring) {
    const [x, y] = onCanvas(view, scene.ring.xyMm);
    const radius = Math.max(20 * px, scene.ring.radiusMm * view.pxPerMm);
    ring(context, x, y, radius, '#0b0d0e', 6 * px);
    ring(context, x, y, radius, draftLook.stain, 3 * px);
  }
  if (scene.line.length > 0) paintLine(context, view, scene.line);
  if (scene.snap && scene.snap.on !== 'nothing') paintSnap(context, view, scene.snap);
  if (scene.box) {
    const [a, b] = [onCanvas(view, scene.box[0]), onCanvas(view, scene.box[1])];
    context.setLineDash([6 * px, 5 * px]);
    context.strokeStyle = draftLook.stain;
    context.lineWidth = 2 * px;
    context.strokeRect(a[0], a[1], b[0] - a[0], b[1] - a[1]);
    context.setLineDash([]);
  }
  if (scene.aim) paintAim(context, ...onCanvas(view, scene.aim), px);
}
