/** The hand on the board: pressing, dragging, letting go, by mouse, pen and finger. */
import PointerInteraction from 'ol/interaction/Pointer.js';
import type MapBrowserEvent from 'ol/MapBrowserEvent.js';
import type { Drawing } from '#libs/net';
import type { DraftScene } from '../drawing/draft-scene.js';
import { fromMap, type Xy } from '../drawing/plane.js';
import type { BoardScene } from './board-scene.js';
import { beginDrag, type Chosen, changedLeads, type Drag, type Held, leadsWithin } from './hand.js';

export interface HandPlan {
  readonly target: HTMLElement;
  readonly scene: () => BoardScene;
  /** @param pointer 'mouse', 'pen' or 'touch' */
  readonly heldAt: (xyMm: Xy, pointer: string) => Held | null;
  readonly snapMm: () => number;
  /** shows what the hand is doing; what is in `moving` moves, the rest is still */
  readonly show: (live: Partial<DraftScene>, moving?: ReadonlySet<string> | null) => void;
  readonly onDragging: (on: boolean) => void;
  /** a finger hides what it drags: shown beside it; null puts the glass away */
  readonly onLoupe: (xyMm: Xy | null, besidePx?: readonly [number, number]) => void;
  readonly onChoose: (chosen: Chosen, xyMm: Xy | null) => void;
  readonly onAct: (name: string, drawing: () => Drawing) => void;
}

export function handInteraction(plan: HandPlan): PointerInteraction {
  let drag: Drag | null = null;
  let offset: Xy = [0, 0];
  let start: Drawing | null = null;
  let moving: ReadonlySet<string> | null = null;
  let box: Xy | null = null;
  let moved = false;
  const reachMm = (event: MapBrowserEvent) =>
    (event.originalEvent as PointerEvent).altKey ? 0 : plan.snapMm();
  const to = (event: MapBrowserEvent): Xy => {
    const [x, y] = fromMap(event.coordinate);
    return [x + offset[0], y + offset[1]];
  };
  return new PointerInteraction({
    handleDownEvent: (event) => {
      if (document.activeElement !== plan.target) plan.target.focus({ preventScroll: true });
      const pointer = event.originalEvent as PointerEvent;
      if (plan.scene().tool !== 'move' || plan.scene().hidden || pointer.button > 0) return false;
      const xyMm = fromMap(event.coordinate);
      const held = plan.heldAt(xyMm, pointer.pointerType);
      moved = false;
      moving = null;
      if (pointer.shiftKey) {
        box = xyMm;
        return true;
      }
      if (!held) return false;
      const { chosen, drawing } = plan.scene();
      const isChosen =
        held.is === 'joint' ? chosen.joints.has(held.jointId) : chosen.leads.has(held.leadId);
      if (pointer.pointerType === 'touch' && !isChosen) return false;
      start = drawing;
      drag = beginDrag(drawing, held, chosen);
      offset = [drag.fromMm[0] - xyMm[0], drag.fromMm[1] - xyMm[1]];
      return true;
    },
    handleDragEvent: (event) => {
      moved = true;
      plan.onDragging(true);
      if (box) {
        plan.show({ box: [box, fromMap(event.coordinate)] });
        return;
      }
      if (!drag || !start) return;
      const { drawing, snap } = drag.at(to(event), reachMm(event));
      moving ??= changedLeads(start, drawing);
      plan.show({ drawing, snap }, moving);
      const pointer = event.originalEvent as PointerEvent;
      if (pointer.pointerType !== 'mouse') {
        plan.onLoupe(to(event), [event.pixel[0]!, event.pixel[1]!]);
      }
    },
    handleUpEvent: (event) => {
      plan.onDragging(false);
      plan.onLoupe(null);
      if (box && moved) {
        const inside = leadsWithin(plan.scene().drawing, [box, fromMap(event.coordinate)]);
        const { leads, joints } = plan.scene().chosen;
        plan.onChoose({ leads: new Set([...leads, ...inside]), joints }, null);
      }
      plan.show({});
      if (drag && moved) {
        const { name, drop } = drag;
        const place = to(event);
        const reach = reachMm(event);
        plan.onAct(name, () => drop(place, reach));
      }
      box = null;
      drag = null;
      return false;
    },
  });
}
