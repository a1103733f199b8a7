/**
 * Two drawings of one plane to hold against each other: one over the other with a dividing line, one
 * in place of the other, both at once, or side by side with one view, so that they move together.
 */
import type Layer from 'ol/layer/Layer.js';
import type OlMap from 'ol/Map.js';
import type RenderEvent from 'ol/render/Event.js';
import { getRenderPixel } from 'ol/render.js';
import { type NotedPlace, placesLayer } from './places-layer.js';
import { type Box, boxOf, type Xy } from './plane.js';
import { makePlaneMap, showBox } from './plane-map.js';

export type PairWay = 'over' | 'swipe' | 'beside';
export type PairSide = 'first' | 'second';

export interface PairPlan {
  readonly box: Box;
  readonly first: readonly Layer[];
  readonly second: readonly Layer[];
  /** ringed over either; a change of the plan, not of the choice */
  readonly places: readonly NotedPlace[];
  readonly onView: (resolution: number) => void;
}

/** Where on the plane one looks, in the map's own axes. */
export interface PairSeen {
  readonly centre: readonly number[];
  readonly resolution: number;
}

export class PairMap {
  readonly #maps: readonly OlMap[];
  readonly #plan: PairPlan;
  readonly #rings: readonly Layer[];
  #chosen: string | null = null;
  #ratio = 0.5;

  /**
   * @param targets one; two for 'beside'
   * @param seen where one looked before; null: everything
   */
  constructor(
    targets: readonly HTMLElement[],
    way: PairWay,
    plan: PairPlan,
    seen: PairSeen | null,
  ) {
    this.#plan = plan;
    this.#maps = targets.map((target) =>
      makePlaneMap(target, { minResolution: 0.01, maxResolution: 16 }),
    );
    const [map, other] = this.#maps;
    if (!map) throw new Error('a pair needs a place on the screen');
    if (other) other.setView(map.getView());
    for (const layer of plan.first) map.addLayer(layer);
    for (const layer of plan.second) (other ?? map).addLayer(layer);
    this.#rings = this.#maps.map((one) => {
      const rings = placesLayer(plan.places, () => this.#chosen);
      one.addLayer(rings);
      return rings;
    });
    if (way === 'swipe') {
      for (const layer of plan.first) this.#clip(layer, 'first');
      for (const layer of plan.second) this.#clip(layer, 'second');
    }
    map.getView().on('change:resolution', () => {
      plan.onView(map.getView().getResolution() ?? 1);
    });
    let fitted = (map.getSize()?.[0] ?? 0) > 0;
    if (seen) {
      fitted = true;
      map.getView().setCenter([...seen.centre]);
      map.getView().setResolution(seen.resolution);
    } else this.showAll();
    map.on('change:size', () => {
      if (fitted || (map.getSize()?.[0] ?? 0) === 0) return;
      fitted = true;
      this.showAll();
    });
    plan.onView(map.getView().getResolution() ?? 1);
  }

  /** Which of the two is seen where they lie over each other; null: both. */
  show(side: PairSide | null): void {
    for (const layer of this.#plan.first) layer.setVisible(side !== 'second');
    for (const layer of this.#plan.second) layer.setVisible(side !== 'first');
  }

  /** @param ratio of the width: left of it lies the first, right of it the second */
  setSwipe(ratio: number): void {
    this.#ratio = ratio;
    for (const map of this.#maps) map.render();
  }

  get seen(): PairSeen {
    const view = this.#maps[0]!.getView();
    return { centre: view.getCenter() ?? [0, 0], resolution: view.getResolution() ?? 1 };
  }

  /** Makes one of the places stand out and brings it into view. */
  choose(key: string | null): void {
    this.#chosen = key;
    for (const rings of this.#rings) rings.changed();
    const place = this.#plan.places.find((one) => one.key === key);
    if (place) this.showPlace([place.xyMm]);
  }

  showAll(): void {
    showBox(this.#maps[0]!, this.#plan.box, { air: pairAir });
  }

  showPlace(points: readonly Xy[]): void {
    const box = boxOf(points);
    const air = Math.max(45, box.maxX - box.minX, box.maxY - box.minY) * 0.8;
    showBox(
      this.#maps[0]!,
      {
        minX: box.minX - air,
        minY: box.minY - air,
        maxX: box.maxX + air,
        maxY: box.maxY + air,
      },
      { air: pairAir, glide: true },
    );
  }

  dispose(): void {
    for (const map of this.#maps) {
      map.setLayers([]);
      map.setTarget(undefined);
      map.dispose();
    }
  }

  #clip(layer: Layer, side: PairSide): void {
    layer.on('prerender', (event) => {
      const { context } = event as RenderEvent & { context: CanvasRenderingContext2D };
      const [width = 0, height = 0] = this.#maps[0]!.getSize() ?? [];
      const at = width * this.#ratio;
      const [left, right] = side === 'first' ? [0, at] : [at, width];
      context.save();
      context.beginPath();
      [
        [left, 0],
        [right, 0],
        [right, height],
        [left, height],
      ].forEach((pixel, index) => {
        const [x, y] = getRenderPixel(event, pixel);
        if (index === 0) context.moveTo(x!, y!);
        else context.lineTo(x!, y!);
      });
      context.closePath();
      context.clip();
    });
    layer.on('postrender', (event) => {
      (event as RenderEvent & { context: CanvasRenderingContext2D }).context.restore();
    });
  }
}

const pairAir = [22, 22, 84, 22] as const;
