/**
 * Drawing a finding on the bench. A drag is a stroke: the crack itself, a lasso or a brush. A tap sets a
 * point; tapping the last one ends a line, tapping the first one closes an outline. By keys: arrows push the
 * drawing under the cross in its middle (with Shift a px at a time), Enter sets a point there, Backspace takes
 * one back, Enter on a finished drawing records it.
 */
import type OlMap from 'ol/Map.js';
import type MapBrowserEvent from 'ol/MapBrowserEvent.js';
import { unByKey } from 'ol/Observable.js';
import type { TermSign } from '#libs/vocabulary';
import type { GlassSnap, Snapped } from '../drawing/glass-snap.js';
import { fromMap, toMap, type Xy } from '../drawing/plane.js';
import { Strokes } from '../drawing/stroke-interaction.js';
import {
  covered,
  type DraftKind,
  ended,
  type FindingDraft,
  geometriesOf,
  nothingDrawn,
  withBrush,
  withLasso,
  withPoint,
  withStroke,
} from './finding-draft.js';
import { SketchLayer } from './sketch-layer.js';

/** How areas are drawn. */
export const areaWays = ['lasso', 'brush', 'piece'] as const;
export type AreaWay = (typeof areaWays)[number];

/** Widths of the brush. */
export const BRUSH_MM = { least: 1, most: 60 } as const;

/** How the hand works; may change while it draws. */
export interface HandSettings {
  readonly areaWay: AreaWay;
  readonly brushMm: number;
  /** what an area stroke covers is taken away */
  readonly isTaken: boolean;
  /** reach of the pull to joints and edges; 0: none */
  readonly snapMm: number;
}

export interface SketchPlan {
  readonly kind: DraftKind;
  readonly sign: TermSign;
  readonly snap: GlassSnap;
  /** rings of the glass of the piece at a place; null: no piece there */
  readonly glassAt: (xyMm: Xy) => readonly (readonly Xy[])[] | null;
  readonly onChange: (draft: FindingDraft) => void;
  /** the finished drawing is left for a next one: a stroke began it, or Enter asked for it */
  readonly onRecord: (draft: FindingDraft, clear: () => void) => 'taken' | 'still drawn';
}

const SAME_PLACE_PX = 9;
const AIM_STEP_PX = 16;

export class SketchTool {
  readonly #map: OlMap;
  readonly #plan: SketchPlan;
  readonly #layer: SketchLayer;
  readonly #strokes: Strokes;
  readonly #leave = new AbortController();
  readonly #stop: () => void;
  #hand: HandSettings;
  #draft: FindingDraft;
  #past: FindingDraft[] = [];
  /** the arrow keys were used since a hand touched the drawing */
  #isAiming = false;
  #enteredAt: Xy | null = null;

  constructor(map: OlMap, plan: SketchPlan, hand: HandSettings) {
    this.#map = map;
    this.#plan = plan;
    this.#hand = hand;
    this.#draft = nothingDrawn(plan.kind);
    this.#layer = new SketchLayer(map, plan.sign);
    this.#strokes = new Strokes(map, {
      onStroke: (line, event) => {
        this.#show(line, event);
      },
      onEnd: (line, event) => {
        this.#stroke(line, event);
      },
    });
    const keys = [
      map.on('click', (event) => {
        this.#tap(event);
      }),
      map.on('dblclick', (event) => {
        event.stopPropagation();
      }),
      map.on('pointermove', (event) => {
        if (!event.dragging) this.#hover(event);
      }),
    ];
    this.#stop = () => {
      unByKey(keys);
    };
    const target = map.getTargetElement() as HTMLElement;
    target.classList.add('sketching');
    target.addEventListener(
      'keydown',
      (event) => {
        this.#key(event);
      },
      { capture: true, signal: this.#leave.signal },
    ); // prettier-ignore
    target.addEventListener(
      'pointerdown',
      () => {
        this.#aim(false);
        if (document.activeElement !== target) target.focus({ preventScroll: true });
      },
      { signal: this.#leave.signal },
    );
    this.#layer.draw(this.#draft);
  }

  /** For who takes a drawing only once the archive has it. */
  readonly #clearLater = (): void => {
    this.clear();
  };

  setHand(hand: HandSettings): void {
    this.#hand = hand;
  }

  takeBack(): void {
    this.#draft = this.#past.pop() ?? nothingDrawn(this.#plan.kind);
    this.#tell();
  }

  end(): void {
    this.#become(ended(this.#draft));
  }

  clear(): void {
    this.#draft = nothingDrawn(this.#plan.kind);
    this.#past = [];
    this.#tell();
  }

  /** A point that was typed. */
  addPoint(xyMm: Xy): void {
    this.#leaveFinished();
    this.#become(withPoint(this.#draft, xyMm));
  }

  dispose(): void {
    this.#leave.abort();
    this.#stop();
    this.#strokes.dispose();
    this.#layer.dispose();
    (this.#map.getTargetElement() as HTMLElement | null)?.classList.remove('sketching', 'aiming');
  }

  /** A finished line or place is kept when the next one begins: nothing that was drawn is lost. */
  #leaveFinished(): void {
    if (this.#draft.kind === 'area' || !this.#draft.ended) return;
    if (this.#plan.onRecord(this.#draft, this.#clearLater) === 'still drawn') return;
    this.#draft = nothingDrawn(this.#plan.kind);
    this.#past = [];
  }

  #become(draft: FindingDraft): void {
    if (draft === this.#draft) return;
    this.#past.push(this.#draft);
    this.#draft = draft;
    this.#tell();
  }

  /** @param isAiming the cross in the middle says where a key would draw */
  #aim(isAiming: boolean): void {
    this.#isAiming = isAiming;
    (this.#map.getTargetElement() as HTMLElement).classList.toggle('aiming', isAiming);
  }

  #reach(event: { readonly altKey: boolean }): number {
    return event.altKey ? 0 : this.#hand.snapMm;
  }

  #snapped(xyMm: Xy, reachMm: number): Xy {
    return this.#plan.snap(xyMm, reachMm)?.xyMm ?? xyMm;
  }

  /** A line is pulled at its ends, an outline all along. */
  #pulled(line: readonly Xy[], reachMm: number): readonly Xy[] {
    if (this.#plan.kind === 'area') return line.map((xyMm) => this.#snapped(xyMm, reachMm));
    return [
      this.#snapped(line[0]!, reachMm),
      ...line.slice(1, -1),
      this.#snapped(line.at(-1)!, reachMm),
    ];
  }

  #show(line: readonly Xy[] | null, event: PointerEvent): void {
    const { kind } = this.#plan;
    const isBrush = kind === 'area' && this.#hand.areaWay === 'brush';
    const end = line?.at(-1);
    const pull = end && !isBrush ? this.#plan.snap(end, this.#reach(event)) : null;
    this.#layer.draw(this.#draft, {
      stroke: kind === 'point' ? null : line,
      brushMm: isBrush ? this.#hand.brushMm : null,
      isTaken: this.#hand.isTaken,
      hover: end ?? null,
      pull: kind === 'point' || this.#hand.areaWay === 'piece' ? null : pull,
    });
  }

  #stroke(line: readonly Xy[], event: PointerEvent): void {
    const { kind } = this.#plan;
    const { areaWay, brushMm, isTaken } = this.#hand;
    if (kind === 'point') {
      this.#setPoint(line.at(-1)!, this.#reach(event));
      return;
    }
    if (kind === 'line') {
      this.#leaveFinished();
      this.#become(withStroke(this.#draft, this.#pulled(line, this.#reach(event))));
    } else if (areaWay === 'piece') {
      for (const xyMm of [line[0]!, line.at(-1)!]) this.#fill(xyMm);
    } else if (areaWay === 'brush') {
      this.#become(withBrush(ended(this.#draft), line, brushMm, isTaken));
    } else
      this.#become(withLasso(ended(this.#draft), this.#pulled(line, this.#reach(event)), isTaken));
  }

  #tap(event: MapBrowserEvent): void {
    const pointer = event.originalEvent as PointerEvent;
    if (this.#strokes.isPalm(pointer)) return;
    this.#put(fromMap(event.coordinate), this.#reach(pointer));
  }

  /** What a tap, or Enter over the middle, does at a place. */
  #put(xyMm: Xy, reachMm: number): void {
    const { kind } = this.#plan;
    const { areaWay, brushMm, isTaken } = this.#hand;
    if (kind === 'area' && areaWay === 'piece') this.#fill(xyMm);
    else if (kind === 'area' && areaWay === 'brush')
      this.#become(withBrush(ended(this.#draft), [xyMm], brushMm, isTaken));
    else this.#setPoint(xyMm, reachMm);
  }

  #setPoint(xyMm: Xy, reachMm: number): void {
    const { kind, xyMm: points } = this.#draft;
    const isNear = (point: Xy | undefined) => {
      if (!point || (kind !== 'point' && this.#draft.ended)) return false;
      const [x = 0, y = 0] = this.#map.getPixelFromCoordinate(toMap(point));
      const [px = 0, py = 0] = this.#map.getPixelFromCoordinate(toMap(xyMm));
      return Math.hypot(x - px, y - py) < SAME_PLACE_PX;
    };
    if (isNear(points.at(-1)) || (kind === 'area' && isNear(points[0]))) {
      if (kind === 'area' && points.length >= 3)
        this.#become(
          this.#hand.isTaken
            ? withLasso({ ...this.#draft, xyMm: [] }, points, true)
            : ended(this.#draft),
        );
      else if (kind !== 'point') this.end();
      return;
    }
    this.#leaveFinished();
    this.#become(withPoint(this.#draft, this.#snapped(xyMm, reachMm)));
  }

  #fill(xyMm: Xy): void {
    const rings = this.#plan.glassAt(xyMm);
    if (rings) this.#become(covered(ended(this.#draft), rings, this.#hand.isTaken));
  }

  #hover(event: MapBrowserEvent): void {
    const pointer = event.originalEvent as PointerEvent;
    if (pointer.pointerType === 'touch') return;
    const at = fromMap(event.coordinate);
    const { kind } = this.#plan;
    const { areaWay, brushMm, isTaken } = this.#hand;
    const isBrush = kind === 'area' && areaWay === 'brush';
    const isFree = isBrush || (kind === 'area' && areaWay === 'piece');
    const pull: Snapped | null = isFree ? null : this.#plan.snap(at, this.#reach(pointer));
    this.#layer.draw(this.#draft, {
      stroke: null,
      brushMm: isBrush ? brushMm : null,
      isTaken,
      hover: at,
      pull,
    });
  }

  #key(event: KeyboardEvent): void {
    const [dx, dy] = {
      ArrowLeft: [-1, 0],
      ArrowRight: [1, 0],
      ArrowUp: [0, 1],
      ArrowDown: [0, -1],
    }[event.key] ?? [0, 0];
    if (dx !== 0 || dy !== 0) {
      event.preventDefault();
      event.stopPropagation();
      this.#aim(true);
      const view = this.#map.getView();
      const step = (event.shiftKey ? 1 : AIM_STEP_PX) * (view.getResolution() ?? 1);
      const [x = 0, y = 0] = view.getCenter() ?? [];
      view.setCenter([x + dx! * step, y + dy! * step]);
    } else if (event.key === 'Enter') {
      event.preventDefault();
      event.stopPropagation();
      this.#enter(event);
    } else if (event.key === 'Backspace') {
      event.preventDefault();
      event.stopPropagation();
      this.takeBack();
    }
  }

  /** Sets a point under the cross; where nobody aims, or twice in one place, that is all of it. */
  #enter(event: KeyboardEvent): void {
    const middle = fromMap(this.#map.getView().getCenter() ?? [0, 0]);
    const again =
      this.#enteredAt !== null &&
      this.#enteredAt[0] === middle[0] &&
      this.#enteredAt[1] === middle[1];
    const isOpen = this.#draft.kind !== 'area' || this.#draft.xyMm.length > 0;
    if (
      event.ctrlKey ||
      event.metaKey ||
      this.#draft.ended ||
      !this.#isAiming ||
      (again && !isOpen)
    )
      if (this.record()) return;
    this.#put(middle, this.#reach(event));
    this.#aim(true);
    this.#enteredAt = middle;
  }

  #record(): void {
    const draft = this.#draft;
    this.#enteredAt = null;
    if (this.#plan.onRecord(draft, this.#clearLater) === 'taken') this.clear();
    else this.#tell();
  }

  #tell(): void {
    this.#layer.draw(this.#draft);
    this.#plan.onChange(this.#draft);
  }

  /** Records what is drawn, finished or not; false when there is too little. */
  record(): boolean {
    const draft = ended(this.#draft);
    if (geometriesOf(draft).length === 0) return false;
    this.#draft = draft;
    this.#record();
    return true;
  }
}
