/**
 * Strokes on the drawing by pen, finger and mouse. One pointer draws; two fingers always push and zoom,
 * and so do the middle and right buttons and the space bar. While a pen is down, and for a while after it
 * was near, hands that rest on the glass do not draw. Pressure is not read.
 */
import DragPan from 'ol/interaction/DragPan.js';
import PointerInteraction from 'ol/interaction/Pointer.js';
import type OlMap from 'ol/Map.js';
import type MapBrowserEvent from 'ol/MapBrowserEvent.js';
import { fromMap, type Xy } from './plane.js';

export interface StrokePlan {
  /** the stroke so far; null when it came to nothing */
  readonly onStroke: (line: readonly Xy[] | null, event: PointerEvent) => void;
  readonly onEnd: (line: readonly Xy[], event: PointerEvent) => void;
}

/** So long after a pen was near, a finger is taken for the hand that holds it. */
const PEN_REMEMBERED_MS = 20_000;
/** Points nearer than this to the last one are left out. */
const STEP_PX = 1.2;

/** Listens from when it is made until it is disposed of. */
export class Strokes {
  readonly #map: OlMap;
  readonly #leave = new AbortController();
  readonly #pan: DragPan;
  readonly #ownPan: DragPan | undefined;
  readonly #hand: PenHand;
  #isSpaceHeld = false;
  #isPenDown = false;
  #penAt = -Infinity;

  constructor(map: OlMap, plan: StrokePlan) {
    this.#map = map;
    const interactions = map.getInteractions();
    this.#ownPan = interactions.getArray().find((one) => one instanceof DragPan);
    this.#ownPan?.setActive(false);
    this.#pan = new DragPan({
      condition: (event) => this.#isPan(event),
    });
    this.#hand = new PenHand(map, plan, (event) => !this.#isPan(event));
    map.addInteraction(this.#pan);
    map.addInteraction(this.#hand);
    this.#listen(map.getTargetElement() as HTMLElement);
  }

  /** Whether a tap is the pen hand's ball and not meant. */
  isPalm(event: PointerEvent): boolean {
    return event.pointerType === 'touch' && event.timeStamp - this.#penAt < PEN_REMEMBERED_MS;
  }

  dispose(): void {
    this.#leave.abort();
    this.#map.removeInteraction(this.#hand);
    this.#map.removeInteraction(this.#pan);
    this.#ownPan?.setActive(true);
  }

  #isPan({ originalEvent }: MapBrowserEvent): boolean {
    const event = originalEvent as PointerEvent;
    if (event.pointerType === 'touch') return this.#hand.fingers > 1 || this.isPalm(event);
    return event.button > 0 || this.#isSpaceHeld;
  }

  #listen(target: HTMLElement): void {
    const { signal } = this.#leave;
    const seize = { capture: true, signal };
    for (const name of ['pointerdown', 'pointermove', 'pointerup', 'pointercancel'] as const)
      target.addEventListener(
        name,
        (event) => {
          if (event.pointerType === 'pen') {
            this.#penAt = event.timeStamp;
            if (name === 'pointerdown') {
              this.#isPenDown = true;
              this.#hand.drop(event);
            } else if (name !== 'pointermove') this.#isPenDown = false;
          } else if (event.pointerType === 'touch' && this.#isPenDown) {
            // The drawing must not move under the pen either.
            event.stopPropagation();
          }
        },
        seize,
      );
    const space = (isHeld: boolean) => (event: KeyboardEvent) => {
      if (event.key !== ' ' || !target.contains(document.activeElement)) return;
      event.preventDefault();
      this.#isSpaceHeld = isHeld;
    };
    window.addEventListener('keydown', space(true), { signal });
    window.addEventListener('keyup', space(false), { signal });
    // The right button pushes the drawing: no menu over it.
    target.addEventListener(
      'contextmenu',
      (event) => {
        event.preventDefault();
      },
      { signal },
    );
  }
}

/** One pointer that draws. */
class PenHand extends PointerInteraction {
  readonly #map: OlMap;
  readonly #plan: StrokePlan;
  readonly #isDrawn: (event: MapBrowserEvent) => boolean;
  #line: Xy[] = [];
  #isTouch = false;

  constructor(map: OlMap, plan: StrokePlan, isDrawn: (event: MapBrowserEvent) => boolean) {
    // The map must hear of the first finger too: the second may come to push and zoom.
    super({ stopDown: (isHandled) => isHandled && !this.#isTouch });
    this.#map = map;
    this.#plan = plan;
    this.#isDrawn = isDrawn;
  }

  get fingers(): number {
    return this.targetPointers.length;
  }

  /** Lets go of a stroke that a resting hand began before the pen came. */
  drop(event: PointerEvent): void {
    if (this.#line.length > 0) this.#plan.onStroke(null, event);
    this.#line = [];
    this.handlingDownUpSequence = false;
  }

  override handleDownEvent(event: MapBrowserEvent): boolean {
    const pointer = event.originalEvent as PointerEvent;
    this.#isTouch = pointer.pointerType === 'touch';
    this.#line = [];
    if (!this.#isDrawn(event)) return false;
    this.#line = [fromMap(event.coordinate)];
    return true;
  }

  override handleDragEvent(event: MapBrowserEvent): void {
    const pointer = event.originalEvent as PointerEvent;
    if (this.#line.length === 0) return;
    if (this.fingers > 1) {
      this.drop(pointer);
      return;
    }
    // A pen gives several places a frame.
    const places = pointer.getCoalescedEvents();
    for (const place of places.length > 0 ? places : [pointer])
      this.#add(fromMap(this.#map.getEventCoordinate(place)));
    this.#plan.onStroke(this.#line, pointer);
  }

  override handleUpEvent(event: MapBrowserEvent): boolean {
    const line = this.#line;
    this.#line = [];
    if (line.length > 1) {
      line.push(fromMap(event.coordinate));
      this.#plan.onEnd(line, event.originalEvent as PointerEvent);
    }
    return false;
  }

  #add(xyMm: Xy): void {
    const last = this.#line.at(-1)!;
    const stepMm = STEP_PX * (this.#map.getView().getResolution() ?? 1);
    if (Math.hypot(xyMm[0] - last[0], xyMm[1] - last[1]) >= stepMm) this.#line.push(xyMm);
  }
}
