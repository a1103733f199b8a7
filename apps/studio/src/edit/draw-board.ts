/**
 * The drawing board: the flattened picture of the rubbing, the leads over it, and the hand on them. Tap
 * chooses, dragging moves what is held; with a finger only what was chosen before moves, so that the
 * drawing can be pushed about without spoiling it.
 */
import DragPan from 'ol/interaction/DragPan.js';
import type Layer from 'ol/layer/Layer.js';
import type OlMap from 'ol/Map.js';
import type MapBrowserEvent from 'ol/MapBrowserEvent.js';
import type { Target } from '#libs/net';
import { DraftLayer, type DraftModel } from '../drawing/draft-layer.js';
import type { DraftScene } from '../drawing/draft-scene.js';
import { Loupe } from '../drawing/loupe.js';
import { type Box, fromMap, type Xy } from '../drawing/plane.js';
import { type Air, makePlaneMap, showBox } from '../drawing/plane-map.js';
import { BoardKeys } from './board-aim.js';
import { BoardReach } from './board-reach.js';
import type { BoardScene, DrawBoardEvents } from './board-scene.js';
import { chosenInBox, chosenWith } from './hand.js';
import { type HandPlan, handInteraction } from './hand-interaction.js';

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
  readonly #reach: BoardReach;
  #line: Target[] = [];
  #dragging = false;
  readonly #keys: BoardKeys;

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
    this.#reach = new BoardReach(this.map, () => this.#scene.drawing);
    this.#keys = new BoardKeys(this.map, {
      onTap: (xyMm) => {
        this.#tapByKeys(xyMm);
      },
      onAim: (xyMm) => {
        this.#hover(xyMm);
      },
    });
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
      if (event.dragging || this.#scene.tool === 'move') return;
      this.#keys.leave();
      this.#hover(fromMap(event.coordinate));
    });
    const tell = () => {
      events.onView(this.#reach.resolution);
    };
    this.map.getView().on('change:resolution', tell);
    tell();
    target.addEventListener(
      'keydown',
      (event) => {
        if (this.#scene.tool !== 'move') this.#keys.hear(event);
      },
      { capture: true, signal: this.#leave.signal },
    );
  }

  setScene(scene: BoardScene, outline: readonly Xy[]): void {
    const isOther = scene.tool !== this.#scene.tool;
    this.#scene = scene;
    if (isOther) {
      this.#line = [];
      this.#keys.leave();
      // Dragging draws the box then; two fingers still zoom.
      for (const one of this.map.getInteractions().getArray())
        if (one instanceof DragPan) one.setActive(scene.tool !== 'choose');
    }
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

  /** Aims the keys at a place of the drawing. */
  aimAt(xyMm: Xy): void {
    this.#keys.aimAt(xyMm);
  }

  /** Lets go of a box that was begun by a key; false when there is none. */
  dropBox(): boolean {
    const had = this.#keys.dropBox();
    if (had) this.#show({});
    return had;
  }

  focus(): void {
    this.#target.focus({ preventScroll: true });
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

  #painted(live: Partial<DraftScene>): DraftScene {
    const { chosen, ...scene } = this.#scene;
    return {
      ...scene,
      chosenLeads: chosen.leads,
      chosenJoints: chosen.joints,
      line: this.#line.map(({ xyMm }) => xyMm),
      snap: null,
      box: this.#keys.box,
      aim: this.#keys.aim,
      ...live,
    };
  }

  #show(live: Partial<DraftScene>, moving: ReadonlySet<string> | null = null): void {
    this.#model.scene = this.#painted(live);
    this.#model.moving = moving;
    this.#layer.changed();
  }

  #tap(event: MapBrowserEvent): void {
    const pointer = event.originalEvent as PointerEvent;
    const xyMm = fromMap(event.coordinate);
    const { tool } = this.#scene;
    if (tool === 'draw') this.#addPoint(xyMm);
    else if (tool === 'cut') this.#cut(xyMm, pointer.pointerType);
    else {
      const held = this.#reach.heldAt(xyMm, pointer.pointerType);
      const adds = tool === 'choose' || pointer.shiftKey;
      this.#events.onChoose(chosenWith(this.#scene.chosen, held, adds), xyMm);
    }
  }

  #cut(xyMm: Xy, pointer: string): void {
    const lead = this.#reach.leadAt(xyMm, pointer);
    if (lead) this.#events.onCut(lead.leadId, lead.alongMm);
  }

  #addPoint(xyMm: Xy): void {
    const target = this.#reach.near.snap(xyMm, this.#reach.snapMm);
    const last = this.#line.at(-1);
    const again = last && far(last.xyMm, target.xyMm) < samePlacePx * this.#reach.resolution;
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
    const reachMm = this.#reach.snapMm;
    if (tool === 'choose') {
      this.#show({});
      return;
    }
    if (tool === 'cut') {
      const lead = this.#reach.near.leadNear(xyMm, reachMm);
      this.#show({ snap: lead ? { on: 'lead', ...lead } : null });
      return;
    }
    const snap = this.#reach.near.snap(xyMm, reachMm);
    const line = this.#line.map((target) => target.xyMm);
    this.#show({ snap, line: line.length > 0 ? [...line, snap.xyMm] : line });
  }

  #handPlan(): HandPlan {
    return {
      target: this.#target,
      scene: () => this.#scene,
      heldAt: (xyMm, pointer) => this.#reach.heldAt(xyMm, pointer),
      snapMm: () => this.#reach.snapMm,
      show: (live, moving) => {
        this.#show(live, moving);
      },
      onDragging: (on) => {
        this.#dragging = on;
      },
      onLoupe: (xyMm, besidePx) => {
        if (xyMm) this.#loupeNow().show(xyMm, this.#reach.resolution, besidePx);
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

  /** Enter at the place that the keys aim at. */
  #tapByKeys(xyMm: Xy): void {
    const { tool, chosen, drawing } = this.#scene;
    if (tool === 'draw') this.#addPoint(xyMm);
    else if (tool === 'cut') this.#cut(xyMm, 'mouse');
    else {
      const from = this.#keys.takeCorner();
      const held = from ? null : this.#reach.heldAt(xyMm, 'mouse');
      if (from) this.#events.onChoose(chosenInBox(drawing, chosen, [from, xyMm]), null);
      else if (held) this.#events.onChoose(chosenWith(chosen, held, true), xyMm);
      else this.#keys.beginBox();
      this.#show({});
    }
  }
}

const far = (a: Xy, b: Xy) => Math.hypot(b[0] - a[0], b[1] - a[1]);
