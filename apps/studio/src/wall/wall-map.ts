/**
 * The wall as one drawing in millimetres: every window of every site, its panels, and the glass of
 * each piece as one comes near. Holds the map's objects; the screen tells it what to show.
 */
import Feature from 'ol/Feature.js';
import Polygon from 'ol/geom/Polygon.js';
import VectorLayer from 'ol/layer/Vector.js';
import type OlMap from 'ol/Map.js';
import type MapBrowserEvent from 'ol/MapBrowserEvent.js';
import VectorSource from 'ol/source/Vector.js';
import Fill from 'ol/style/Fill.js';
import Stroke from 'ol/style/Stroke.js';
import Style from 'ol/style/Style.js';
import type { NamedOutline, PanelPlace } from '#libs/elevation';
import { type Box, fromMap, isInside, ringToMap, type Xy } from '../drawing/plane.js';
import { makePlaneMap, showBox } from '../drawing/plane-map.js';
import { token } from '../platform/ground.js';
import type { GlassLayers } from './glass-layers.js';
import type { Hatch } from './hatches.js';
import { farPx, type WallLook } from './wall-ink.js';
import { WallLayers } from './wall-layers.js';
import type { HungRow, HungWindow } from './wall-layout.js';
import { airAround, resolutions, type WallView } from './wall-view.js';

export interface WallEvents {
  readonly onPanel: (windowId: string, place: PanelPlace) => void;
  readonly onOpen: (windowId: string, place: PanelPlace) => void;
  readonly onWindow: (windowId: string) => void;
  /** the words under a row of windows */
  readonly onName: (rowIndex: number) => void;
  /** the view came to rest; `byHand` when a person moved it */
  readonly onRest: (view: WallView, byHand: boolean) => void;
}

interface Under {
  readonly row: number;
  readonly hung?: HungWindow;
  readonly place?: PanelPlace;
}

export class WallMap {
  readonly map: OlMap;
  readonly #events: WallEvents;
  readonly #layers = new WallLayers();
  readonly #outline: VectorLayer;
  readonly #leaving = new AbortController();
  /** what is to be done once the glass can be drawn */
  readonly #waiting: ((glass: GlassLayers) => void)[] = [];
  #glass: GlassLayers | null = null;
  readonly #glassCame: Promise<void>;
  readonly #chosen = new VectorSource();
  readonly #watchers = new Set<() => void>();
  #seen: WallView | null = null;
  #rows: readonly HungRow[] = [];
  #byHand = false;
  /** what was flown to, until a hand moves on from there */
  #flown: Box | null = null;

  /** @param pair a map that this one moves together with */
  constructor(target: HTMLElement, events: WallEvents, pair?: WallMap) {
    this.#events = events;
    this.map = makePlaneMap(target, {
      ...resolutions,
      doubleClickZoom: false,
      ...(pair ? { view: pair.map.getView() } : {}),
    });
    this.#outline = new VectorLayer({
      source: this.#chosen,
      style: (feature) =>
        feature.get('isHover') === true
          ? new Style({ fill: new Fill({ color: `${token('table-choice')}26` }) })
          : new Style({ stroke: new Stroke({ color: token('table-choice'), width: 4 }) }),
    });
    for (const layer of [this.#layers.ground, this.#layers.above, this.#outline])
      this.map.addLayer(layer);
    this.#glassCame = this.#fetchGlass().catch(() => undefined);
    this.map.on('click', (event) => {
      this.#click(event);
    });
    this.map.on('dblclick', (event) => {
      const under = this.#under(event);
      if (under?.hung && under.place) this.#events.onOpen(under.hung.windowId, under.place);
    });
    this.map.on('pointermove', (event) => {
      if (!event.dragging) this.#hover(event);
    });
    for (const input of ['wheel', 'pointerdown', 'keydown'])
      target.addEventListener(input, this.#touched, { passive: true });
    this.map.getView().on('change', this.#viewed);
    if (!pair) this.map.on('change:size', this.#resized);
    this.map.on('pointerdrag', this.#moved);
    target.addEventListener('wheel', this.#moved, { passive: true });
    this.map.on('moveend', () => {
      const byHand = this.#byHand;
      this.#byHand = false;
      this.#events.onRest(this.view, byHand);
    });
  }

  readonly #viewed = () => {
    this.#glass?.setResolution(this.#resolution);
    this.#seen = null;
    for (const hear of this.#watchers) hear();
  };

  /** Told with every frame that moves the view. @returns stops it */
  readonly watchView = (hear: () => void): (() => void) => {
    this.#watchers.add(hear);
    return () => {
      this.#watchers.delete(hear);
    };
  };

  /** The same while the view stands. */
  readonly seenView = (): WallView => (this.#seen ??= this.view);

  readonly #touched = () => {
    this.#byHand = true;
  };

  readonly #moved = () => {
    this.#flown = null;
  };

  get #resolution(): number {
    return this.map.getView().getResolution() ?? 1;
  }

  get view(): WallView {
    const k = 1 / this.#resolution;
    const [x, y] = fromMap(this.map.getView().getCenter() ?? [0, 0]);
    const [width = 0, height = 0] = this.map.getSize() ?? [];
    return { k, tx: width / 2 - x * k, ty: height / 2 - y * k, width, height };
  }

  stand(rows: readonly HungRow[]): void {
    this.#rows = rows;
    this.#layers.stand(rows);
  }

  setLook(look: WallLook): void {
    this.#layers.setLook(look);
  }

  /** The glass comes after the wall stands: its WebGL is a third of what the wall needs at first. */
  async #fetchGlass(): Promise<void> {
    const { GlassLayers: Layers } = await import('./glass-layers.js');
    if (this.#leaving.signal.aborted) return;
    const glass = new Layers();
    const layers = this.map.getLayers();
    for (const [i, layer] of glass.layers.entries()) layers.insertAt(1 + i, layer);
    this.#glass = glass;
    for (const act of this.#waiting.splice(0)) act(glass);
  }

  #withGlass(act: (glass: GlassLayers) => void): void {
    if (this.#glass) act(this.#glass);
    else this.#waiting.push(act);
  }

  /** The lead drawings of a window, as packed for it. */
  hang(hung: HungWindow, outlines: readonly NamedOutline[] | undefined): void {
    this.#withGlass((glass) => {
      glass.hang(hung.windowId, [hung.xMm, hung.yMm], outlines);
      glass.setResolution(this.#resolution);
    });
  }

  /** Hatches of the pieces of a window of which something is said. */
  say(windowId: string, said: ReadonlyMap<string, Hatch>): void {
    this.#withGlass((glass) => {
      glass.say(windowId, said);
    });
  }

  /** Once all that was told so far is on the screen, the glass as well. */
  async stands(): Promise<void> {
    await this.#glassCame;
    await new Promise((resolve) => {
      this.map.once('rendercomplete', resolve);
      this.map.render();
    });
  }

  choose(hung: HungWindow | null, place: PanelPlace | null): void {
    for (const feature of this.#chosen.getFeatures())
      if (feature.get('isHover') !== true) this.#chosen.removeFeature(feature);
    if (hung && place) this.#chosen.addFeature(ringOf(hung, place, false));
  }

  fly(box: Box, glide: boolean): void {
    this.#byHand = false;
    this.#flown = box;
    showBox(this.map, box, { air: this.#air(), glide });
  }

  /** @param at middle, mm, and how many px a mm has */
  look(at: Xy, k: number): void {
    this.#byHand = false;
    this.#flown = null;
    const view = this.map.getView();
    view.setCenter([at[0], -at[1]]);
    view.setResolution(1 / k);
  }

  /** A step by keys: the link tells of it as of a move by hand. */
  zoom(factor: number): void {
    this.#byHand = true;
    this.#flown = null;
    const view = this.map.getView();
    view.animate({ resolution: this.#resolution / factor, duration: 120 });
  }

  dispose(): void {
    this.map.getView().un('change', this.#viewed);
    this.map.setTarget(undefined);
    this.#leaving.abort();
    this.#glass?.dispose();
    this.#layers.dispose();
    this.map.dispose();
  }

  #air() {
    return airAround(this.map.getSize()?.[0] ?? 800);
  }

  /** The key comes, papers are pulled up: what was flown to stays whole unless a hand moved on from there. */
  readonly #resized = () => {
    this.#seen = null;
    if (this.#flown !== null) showBox(this.map, this.#flown, { air: this.#air(), glide: false });
  };

  #click(event: MapBrowserEvent): void {
    const under = this.#under(event);
    if (!under) return;
    const { row, hung, place } = under;
    if (!hung) this.#events.onName(row);
    else if (place && hung.shape.heightMm / this.#resolution >= farPx)
      this.#events.onPanel(hung.windowId, place);
    else this.#events.onWindow(hung.windowId);
  }

  #hover(event: MapBrowserEvent): void {
    if ((event.originalEvent as PointerEvent).pointerType !== 'mouse') return;
    const under = this.#under(event);
    const target = this.map.getTargetElement();
    if (target) target.style.cursor = under ? 'pointer' : '';
    const before = this.#chosen.getFeatures().find((feature) => feature.get('isHover') === true);
    if (before?.get('place') === under?.place) return;
    if (before) this.#chosen.removeFeature(before);
    if (under?.hung && under.place) this.#chosen.addFeature(ringOf(under.hung, under.place, true));
  }

  #under(event: MapBrowserEvent): Under | undefined {
    const [x, y] = fromMap(event.coordinate);
    for (const [row, { windows, box }] of this.#rows.entries()) {
      for (const hung of windows) {
        const at: Xy = [x - hung.xMm, y - hung.yMm];
        const { widthMm, heightMm, places } = hung.shape;
        // The name under the sill belongs to the window.
        if (at[0] < 0 || at[0] > widthMm || at[1] < 0) continue;
        if (at[1] > heightMm + 60 * this.#resolution) continue;
        const place = places.find(({ ringMm, boundsMm }) => {
          const { minX, minY, maxX, maxY } = boundsMm;
          if (at[0] < minX || at[0] > maxX || at[1] < minY || at[1] > maxY) return false;
          return isInside(at, ringMm);
        });
        return place ? { row, hung, place } : { row, hung };
      }
      const { minX, maxX, maxY } = box;
      const belowPx = (y - maxY) / this.#resolution;
      if (x >= minX && x <= maxX && belowPx > 60 && belowPx < 110) return { row };
    }
    return undefined;
  }
}

const ringOf = ({ xMm, yMm }: HungWindow, place: PanelPlace, isHover: boolean) =>
  new Feature({
    geometry: new Polygon([ringToMap(place.ringMm.map(([x, y]): Xy => [x + xMm, y + yMm]))]),
    place,
    isHover,
  });
