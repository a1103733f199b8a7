/**
 * The drawing board: the flattened picture of the rubbing, the leads over it, and the hand on them. Tap
 * chooses, dragging moves what is held; with a finger only what was chosen before moves, so that the
 * drawing can be pushed about without spoiling it.
 */
import type Layer from 'ol/layer/Layer.js';
import type OlMap from 'ol/Map.js';
import type MapBrowserEvent from 'ol/MapBrowserEvent.js';
import type { Drawing, Snapper, Target } from '#libs/net';
import { snapper } from '#libs/net';
import { DraftLayer, type DraftModel } from '../drawing/draft-layer.js';
import type { DraftScene } from '../drawing/draft-scene.js';
import { Loupe } from '../drawing/loupe.js';
import { type Box, fromMap, type Xy } from '../drawing/plane.js';
import { type Air, makePlaneMap, showBox } from '../drawing/plane-map.js';
import type { BoardScene } from './board-scene.js';
import type { Chosen, Held } from './hand.js';
import { type HandPlan, handInteraction } from './hand-interaction.js';

export interface DrawBoardEvents {
  /** @param xyMm where the tap was; null when a box was drawn */
  readonly onChoose: (chosen: Chosen, xyMm: Xy | null) => void;
  /** the hand let go: what it did, by name */
  readonly onAct: (name: string, drawing: () => Drawing) => void;
  readonly onLine: (line: readonly Target[], ended: boolean) => void;
  readonly onCut: (leadId: string, alongMm: number) => void;
  readonly onView: (resolutionMmPerPx: number) => void;
}

const reachPx: Readonly<Record<string, number>> = { mouse: 9, pen: 14, touch: 24 };
const snapPx = 12;
/** Seen small, a dozen px are a hand's breadth of glass: nothing is pulled farther than this. */
const mostSnapMm = 6;
const samePlacePx = 10;

export class DrawBoard {
  readonly map: OlMap;
  readonly #target: HTMLElement;
  readonly #events: DrawBoardEvents;
  readonly #model: DraftModel;
  readonly #layer: DraftLayer;
  readonly #leave = new AbortController();
  #scene: BoardScene;
  #picture: Layer | null = null;
  #makePicture: (() => Layer) | null = null;
  #loupe: Loupe | null = null;
  #snapper: { of: Drawing; is: Snapper } | null = null;
  #line: Target[] = [];
  #dragging = false;

  constructor(
    target: HTMLElement,
    scene: BoardScene,
    outline: readonly Xy[],
    events: DrawBoardEvents,
  ) {
    this.#target = target;
    this.#events = events;
    this.#scene = scene;
    this.map = makePlaneMap(target, { minResolution: 0.01, maxResolution: 4 });
    this.#model = { scene: this.#painted({}), outline, moving: null };
    this.#layer = new DraftLayer(this.#model);
    this.#layer.setZIndex(2);
    this.map.addLayer(this.#layer);
    this.map.addInteraction(handInteraction(this.#handPlan()));
    this.map.on('click', (event) => {
      this.#tap(event);
    });
    this.map.on('dblclick', (event) => {
      event.stopPropagation();
    });
    this.map.on('pointermove', (event) => {
      if (!event.dragging && this.#scene.tool !== 'move') this.#hover(fromMap(event.coordinate));
    });
    const tell = () => {
      events.onView(this.#resolution());
    };
    this.map.getView().on('change:resolution', tell);
    tell();
    target.addEventListener(
      'keydown',
      (event) => {
        this.#key(event);
      },
      { capture: true, signal: this.#leave.signal },
    ); // prettier-ignore
  }

  setScene(scene: BoardScene, outline: readonly Xy[]): void {
    if (scene.tool !== this.#scene.tool) this.#line = [];
    this.#scene = scene;
    this.#model.outline = outline;
    if (!this.#dragging) this.#show({});
  }

  setPicture(make: (() => Layer) | null, strength: number): void {
    if (make !== this.#makePicture) {
      this.#makePicture = make;
      if (this.#picture) this.map.removeLayer(this.#picture);
      this.#picture = make?.() ?? null;
      if (this.#picture) {
        this.#picture.setZIndex(1);
        this.map.addLayer(this.#picture);
      }
      this.#loupe?.dispose();
      this.#loupe = null;
    }
    this.#picture?.setOpacity(strength);
  }

  showBox(box: Box, glide = false): void {
    showBox(this.map, box, { air: this.#air(), glide });
  }

  /** Brings a place and what is round it into view. */
  showPlace([x, y]: Xy, radiusMm: number): void {
    const r = Math.max(18, radiusMm * 1.5);
    this.showBox({ minX: x - r, minY: y - r, maxX: x + r, maxY: y + r }, true);
  }

  /** Place of the drawing in the middle of the screen. */
  middle(): Xy {
    return fromMap(this.map.getView().getCenter() ?? [0, 0]);
  }

  takeBackPoint(): void {
    this.#line.pop();
    this.#events.onLine(this.#line, false);
    this.#show({});
  }

  endLine(): void {
    const line = this.#line;
    this.#line = [];
    this.#events.onLine(line, true);
    this.#show({});
  }

  dropLine(): void {
    this.#line = [];
    this.#events.onLine([], false);
    this.#show({});
  }

  dispose(): void {
    this.#leave.abort();
    this.#loupe?.dispose();
    this.map.setTarget(undefined);
    this.map.dispose();
  }

  #air(): Air {
    const [width = 800] = this.map.getSize() ?? [];
    return width >= 600 ? [64, 40, 160, 40] : [74, 16, 120, 16];
  }

  #resolution(): number {
    return this.map.getView().getResolution() ?? 1;
  }

  #snapMm(): number {
    return Math.min(mostSnapMm, snapPx * this.#resolution());
  }

  #painted(live: Partial<DraftScene>): DraftScene {
    const { chosen, ...scene } = this.#scene;
    return {
      ...scene,
      chosenLeads: chosen.leads,
      chosenJoints: chosen.joints,
      line: this.#line.map(({ xyMm }) => xyMm),
      snap: null,
      box: null,
      ...live,
    };
  }

  #show(live: Partial<DraftScene>, moving: ReadonlySet<string> | null = null): void {
    this.#model.scene = this.#painted(live);
    this.#model.moving = moving;
    this.#layer.changed();
  }

  #near(): Snapper {
    const of = this.#scene.drawing;
    if (this.#snapper?.of !== of) this.#snapper = { of, is: snapper(of) };
    return this.#snapper.is;
  }

  #heldAt(xyMm: Xy, pointer: string): Held | null {
    const reachMm = (reachPx[pointer] ?? 9) * this.#resolution();
    const joint = this.#near().jointNear(xyMm, reachMm);
    if (joint) return { is: 'joint', jointId: joint.jointId };
    const lead = this.#near().leadNear(xyMm, reachMm);
    return lead ? { is: 'lead', leadId: lead.leadId, alongMm: lead.alongMm } : null;
  }

  #tap(event: MapBrowserEvent): void {
    const pointer = event.originalEvent as PointerEvent;
    const xyMm = fromMap(event.coordinate);
    const { tool } = this.#scene;
    if (tool === 'draw') {
      this.#addPoint(xyMm);
      return;
    }
    const held = this.#heldAt(xyMm, pointer.pointerType);
    if (tool === 'cut') {
      if (held?.is === 'lead') this.#events.onCut(held.leadId, held.alongMm);
      return;
    }
    const adds = this.#scene.many || pointer.shiftKey;
    this.#events.onChoose(chosenWith(this.#scene.chosen, held, adds), xyMm);
  }

  #addPoint(xyMm: Xy): void {
    const target = this.#near().snap(xyMm, this.#snapMm());
    const last = this.#line.at(-1);
    const again = last && far(last.xyMm, target.xyMm) < samePlacePx * this.#resolution();
    if (again) {
      if (this.#line.length > 1) this.endLine();
      return;
    }
    this.#line.push(target);
    // The second place on lead is where it ends; until then it bends through the open glass.
    if (this.#line.length > 1 && target.on !== 'nothing') this.endLine();
    else {
      this.#events.onLine(this.#line, false);
      this.#hover(xyMm);
    }
  }

  #hover(xyMm: Xy): void {
    if (this.#dragging) return;
    const { tool } = this.#scene;
    const reachMm = this.#snapMm();
    if (tool === 'cut') {
      const lead = this.#near().leadNear(xyMm, reachMm);
      this.#show({ snap: lead ? { on: 'lead', ...lead } : null });
      return;
    }
    const snap = this.#near().snap(xyMm, reachMm);
    const line = this.#line.map((target) => target.xyMm);
    this.#show({ snap, line: line.length > 0 ? [...line, snap.xyMm] : line });
  }

  #handPlan(): HandPlan {
    return {
      target: this.#target,
      scene: () => this.#scene,
      heldAt: (xyMm, pointer) => this.#heldAt(xyMm, pointer),
      snapMm: () => this.#snapMm(),
      show: (live, moving) => {
        this.#show(live, moving);
      },
      onDragging: (on) => {
        this.#dragging = on;
      },
      onLoupe: (xyMm, besidePx) => {
        if (xyMm) this.#loupeNow().show(xyMm, this.#resolution(), besidePx);
        else this.#loupe?.hide();
      },
      onChoose: this.#events.onChoose,
      onAct: this.#events.onAct,
    };
  }

  #loupeNow(): Loupe {
    this.#loupe ??= new Loupe(this.#target, [
      ...(this.#makePicture ? [this.#makePicture()] : []),
      new DraftLayer(this.#model),
    ]);
    return this.#loupe;
  }

  /** Drawing without a mouse: the arrow keys move the drawing under the middle, Enter puts a place there. */
  #key(event: KeyboardEvent): void {
    const { tool } = this.#scene;
    if (tool === 'move' || event.key !== 'Enter') return;
    event.preventDefault();
    event.stopPropagation();
    if (tool === 'draw') this.#addPoint(this.middle());
    else {
      const lead = this.#near().leadNear(this.middle(), this.#snapMm());
      if (lead) this.#events.onCut(lead.leadId, lead.alongMm);
    }
  }
}

function chosenWith(chosen: Chosen, held: Held | null, adds: boolean): Chosen {
  if (!held) return adds ? chosen : { leads: new Set(), joints: new Set() };
  const leads = new Set(adds ? chosen.leads : []);
  const joints = new Set(adds ? chosen.joints : []);
  const [set, id] = held.is === 'joint' ? [joints, held.jointId] : [leads, held.leadId];
  if (adds && set.has(id)) set.delete(id);
  else set.add(id);
  return { leads, joints };
}

const far = (a: Xy, b: Xy) => Math.hypot(b[0] - a[0], b[1] - a[1]);
