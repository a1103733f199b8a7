/** The hand on the board: pressing, dragging, letting go, by mouse, pen and finger. */
import PointerInteraction from 'ol/interaction/Pointer.js';
import type MapBrowserEvent from 'ol/MapBrowserEvent.js';
import type { Drawing } from '#libs/net';
import type { DraftScene } from '../drawing/draft-scene.js';
import { fromMap, type Xy } from '../drawing/plane.js';
import type { BoardScene } from './board-scene.js';
import { beginDrag, type Chosen, changedLeads, chosenInBox, type Drag, type Held } from './hand.js';

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
  let lettingZoom = false;
  const reachMm = (event: MapBrowserEvent) =>
    (event.originalEvent as PointerEvent).altKey ? 0 : plan.snapMm();
  const to = (event: MapBrowserEvent): Xy => {
    const [x, y] = fromMap(event.coordinate);
    return [x + offset[0], y + offset[1]];
  };
  const interaction: PointerInteraction = new PointerInteraction({
    // Two fingers zoom whatever the tool is: the map hears of the first one too.
    stopDown: (handled) => handled && !lettingZoom,
    handleDownEvent: (event) => {
      if (document.activeElement !== plan.target) plan.target.focus({ preventScroll: true });
      const pointer = event.originalEvent as PointerEvent;
      const { tool, hidden } = plan.scene();
      if (!['move', 'choose'].includes(tool) || hidden || pointer.button > 0) return false;
      const xyMm = fromMap(event.coordinate);
      moved = false;
      moving = null;
      lettingZoom = tool === 'choose' && pointer.pointerType === 'touch';
      if (pointer.shiftKey || tool === 'choose') {
        box = xyMm;
        return true;
      }
      const held = plan.heldAt(xyMm, pointer.pointerType);
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
      if (box && interaction.getPointerCount() > 1) {
        // The second finger came to zoom: no box was meant.
        box = null;
        moved = false;
        plan.onDragging(false);
        plan.show({});
      }
      if (!box && !drag) return;
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
        const { drawing, chosen } = plan.scene();
        plan.onChoose(chosenInBox(drawing, chosen, [box, fromMap(event.coordinate)]), null);
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
  return interaction;
}
