/**
 * A picture or a drawing to set points on: tap to set the next one, drag a point to move it (the
 * loupe stands beside the finger, and the point moves as the finger does, not under it), arrow keys
 * to nudge. Points are in the plane of the board: px of a picture or mm of a panel.
 */
import Feature from 'ol/Feature.js';
import LineString from 'ol/geom/LineString.js';
import PointGeometry from 'ol/geom/Point.js';
import PointerInteraction from 'ol/interaction/Pointer.js';
import type Layer from 'ol/layer/Layer.js';
import VectorLayer from 'ol/layer/Vector.js';
import type OlMap from 'ol/Map.js';
import type MapBrowserEvent from 'ol/MapBrowserEvent.js';
import VectorSource from 'ol/source/Vector.js';
import { Loupe } from './loupe.js';
import { type Box, fromMap, toMap, type Xy } from './plane.js';
import { makePlaneMap, showBox } from './plane-map.js';
import { lineStyle, markStyle } from './tap-style.js';

export interface TapPoint {
  readonly name: string;
  readonly xy: Xy | null;
  /** drawn in the warning colour: the worst of the lot */
  readonly worst?: boolean;
  /** a few words under the name, such as how far off it is */
  readonly note?: string;
}

/** A measured length between two places of the board, drawn with what was read off the tape. */
export interface TapLine {
  readonly from: Xy;
  readonly to: Xy;
  readonly words: string;
  readonly worst?: boolean;
}

export interface TapBoardPlan {
  readonly box: Box;
  /** made twice: for the board and for its loupe */
  readonly layers: () => readonly Layer[];
  readonly onPoint: (index: number, xy: Xy) => void;
  readonly onActive: (index: number) => void;
  /** pulls a point to something meant, such as a joint */
  readonly snap?: (xy: Xy, reach: number) => Xy | undefined;
  /** how far one arrow key moves a point, in the board's unit */
  readonly nudge: number;
}

const grabPx = 26;
const snapPx = 14;
const tapAir = [26, 26, 76, 26] as const;

export class TapBoard {
  readonly map: OlMap;
  readonly #plan: TapBoardPlan;
  readonly #loupe: Loupe;
  readonly #source = new VectorSource();
  readonly #lines = new VectorSource();
  readonly #target: HTMLElement;
  readonly #leave = new AbortController();
  #points: readonly TapPoint[] = [];
  #active = 0;

  constructor(target: HTMLElement, plan: TapBoardPlan) {
    this.#plan = plan;
    this.#target = target;
    this.map = makePlaneMap(target, { minResolution: 0.02, maxResolution: 64 });
    for (const layer of plan.layers()) this.map.addLayer(layer);
    const live = { updateWhileAnimating: true, updateWhileInteracting: true };
    this.map.addLayer(new VectorLayer({ source: this.#lines, style: lineStyle, ...live }));
    this.map.addLayer(new VectorLayer({ source: this.#source, style: markStyle, ...live }));
    this.#loupe = new Loupe(target, plan.layers());
    this.map.addInteraction(this.#dragging());
    this.map.on('singleclick', (event) => {
      // A tap sets a point that is not set yet; set points are moved by dragging or by the keys, so
      // that a stray tap spoils nothing.
      const open = this.#points[this.#active]?.xy
        ? this.#points.findIndex((point) => point.xy === null)
        : this.#active;
      if (open >= 0 && this.#near(event.pixel) < 0)
        this.#set(open, this.#pulled(fromMap(event.coordinate)));
    });
    this.map.on('pointermove', (event) => {
      if (!event.dragging && (event.originalEvent as PointerEvent).pointerType === 'mouse')
        this.#loupe.show(fromMap(event.coordinate), this.#resolution());
    });
    target.addEventListener(
      'pointerleave',
      () => {
        this.#loupe.hide();
      },
      this.#leave,
    ); // prettier-ignore
    target.addEventListener(
      'keydown',
      (event) => {
        this.#key(event);
      },
      { capture: true, signal: this.#leave.signal },
    ); // prettier-ignore
    showBox(this.map, plan.box, { air: tapAir });
    // A board that is hidden at first has no size yet: it is fitted when it first gets one.
    let fitted = (this.map.getSize()?.[0] ?? 0) > 0;
    this.map.on('change:size', () => {
      if (fitted || (this.map.getSize()?.[0] ?? 0) === 0) return;
      fitted = true;
      showBox(this.map, plan.box, { air: tapAir });
    });
  }

  setPoints(points: readonly TapPoint[], active: number): void {
    this.#points = points;
    this.#active = active;
    this.#source.clear();
    points.forEach((point, index) => {
      if (!point.xy) return;
      this.#source.addFeature(
        new Feature({
          geometry: new PointGeometry(toMap(point.xy)),
          name: point.note === undefined ? point.name : `${point.name}  ${point.note}`,
          active: index === active,
          worst: point.worst === true,
        }),
      );
    });
  }

  setLines(lines: readonly TapLine[]): void {
    this.#lines.clear();
    this.#lines.addFeatures(
      lines.map(
        ({ from, to, words, worst }) =>
          new Feature({
            geometry: new LineString([toMap(from), toMap(to)]),
            words,
            worst: worst === true,
          }),
      ),
    );
  }

  showAll(): void {
    showBox(this.map, this.#plan.box, { air: tapAir, glide: true });
  }

  dispose(): void {
    this.#leave.abort();
    this.#loupe.dispose();
    this.map.setTarget(undefined);
    this.map.dispose();
  }

  #resolution(): number {
    return this.map.getView().getResolution() ?? 1;
  }

  #pulled(xy: Xy): Xy {
    return this.#plan.snap?.(xy, snapPx * this.#resolution()) ?? xy;
  }

  #set(index: number, xy: Xy): void {
    if (index < this.#points.length) this.#plan.onPoint(index, xy);
  }

  #near(pixel: readonly number[]): number {
    let best = -1;
    let nearest = grabPx;
    this.#points.forEach((point, index) => {
      if (!point.xy) return;
      const at = this.map.getPixelFromCoordinate(toMap(point.xy));
      const distance = Math.hypot(at[0]! - pixel[0]!, at[1]! - pixel[1]!);
      if (distance < nearest) {
        nearest = distance;
        best = index;
      }
    });
    return best;
  }

  #dragging(): PointerInteraction {
    let index = -1;
    let offset: Xy = [0, 0];
    let moved: Xy | null = null;
    const at = (event: MapBrowserEvent) => event.originalEvent as PointerEvent;
    return new PointerInteraction({
      handleDownEvent: (event) => {
        if (document.activeElement !== this.#target) this.#target.focus({ preventScroll: true });
        index = this.#near(event.pixel);
        const point = index < 0 ? null : this.#points[index]?.xy;
        if (!point) return false;
        const pointer = fromMap(event.coordinate);
        offset = [point[0] - pointer[0], point[1] - pointer[1]];
        moved = null;
        this.#plan.onActive(index);
        this.#loupe.show(point, this.#resolution(), [event.pixel[0]!, event.pixel[1]!]);
        return true;
      },
      handleDragEvent: (event) => {
        const pointer = fromMap(event.coordinate);
        moved = [pointer[0] + offset[0], pointer[1] + offset[1]];
        const beside: [number, number] = [event.pixel[0]!, event.pixel[1]!];
        this.#loupe.show(
          moved,
          this.#resolution(),
          at(event).pointerType === 'mouse' ? undefined : beside,
        );
        this.#set(index, moved);
      },
      handleUpEvent: () => {
        if (moved) this.#set(index, this.#pulled(moved));
        this.#loupe.hide();
        return false;
      },
    });
  }

  #key(event: KeyboardEvent): void {
    const step = {
      ArrowLeft: [-1, 0],
      ArrowRight: [1, 0],
      ArrowUp: [0, -1],
      ArrowDown: [0, 1],
    }[event.key];
    if (!step) {
      if (event.key === 'Enter' && !this.#points[this.#active]?.xy) {
        // Without a mouse a point starts in the middle of the view and is nudged from there.
        event.preventDefault();
        this.#set(this.#active, fromMap(this.map.getView().getCenter() ?? [0, 0]));
      }
      return;
    }
    const point = this.#points[this.#active]?.xy;
    if (!point) return;
    event.preventDefault();
    event.stopPropagation();
    const size = this.#plan.nudge * (event.shiftKey ? 10 : event.altKey ? 0.25 : 1);
    const xy: Xy = [point[0] + step[0]! * size, point[1] + step[1]! * size];
    this.#set(this.#active, xy);
    this.#loupe.show(xy, this.#resolution());
  }
}
