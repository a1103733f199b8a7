/**
 * Drawing a crack, an outline or a place on the board, point by point: tap adds a point, tapping the
 * last one ends, Backspace takes one back, Enter adds one in the middle of the view (arrow keys move
 * the drawing under it), so that no mouse is needed.
 */
import Feature from 'ol/Feature.js';
import PointGeometry from 'ol/geom/Point.js';
import VectorLayer from 'ol/layer/Vector.js';
import type OlMap from 'ol/Map.js';
import type MapBrowserEvent from 'ol/MapBrowserEvent.js';
import { unByKey } from 'ol/Observable.js';
import VectorSource from 'ol/source/Vector.js';
import Circle from 'ol/style/Circle.js';
import Fill from 'ol/style/Fill.js';
import Stroke from 'ol/style/Stroke.js';
import Style from 'ol/style/Style.js';
import type { TermSign } from '#libs/vocabulary';
import { findingGeometry, findingStyle } from './finding-style.js';
import { fromMap, toMap, type Xy } from './plane.js';
import { signColour } from './sign-canvas.js';

export interface SketchPlan {
  readonly kind: 'point' | 'line' | 'area';
  readonly sign: TermSign;
  readonly onChange: (xyMm: readonly Xy[], ended: boolean) => void;
}

const samePlacePx = 9;

export class SketchTool {
  readonly #map: OlMap;
  readonly #plan: SketchPlan;
  readonly #source = new VectorSource();
  readonly #layer: VectorLayer;
  readonly #leave = new AbortController();
  readonly #stop: () => void;
  #points: Xy[] = [];
  #hover: Xy | null = null;
  #ended = false;

  constructor(map: OlMap, plan: SketchPlan) {
    this.#map = map;
    this.#plan = plan;
    this.#layer = new VectorLayer({
      source: this.#source,
      updateWhileAnimating: true,
      updateWhileInteracting: true,
      zIndex: 10,
    });
    map.addLayer(this.#layer);
    const keys = [
      map.on('click', (event) => {
        this.#tap(event);
      }),
      map.on('dblclick', (event) => {
        event.stopPropagation();
      }),
      map.on('pointermove', (event) => {
        if (event.dragging || this.#ended) return;
        this.#hover = fromMap(event.coordinate);
        this.#draw();
      }),
    ];
    this.#stop = () => {
      unByKey(keys);
    };
    const target = map.getTargetElement() as HTMLElement;
    target.addEventListener(
      'keydown',
      (event) => {
        this.#key(event);
      },
      { capture: true, signal: this.#leave.signal },
    ); // prettier-ignore
  }

  takeBack(): void {
    this.#points.pop();
    this.#ended = false;
    this.#tell();
  }

  end(): void {
    this.#ended = true;
    this.#hover = null;
    this.#tell();
  }

  clear(): void {
    this.#points = [];
    this.#ended = false;
    this.#tell();
  }

  dispose(): void {
    this.#leave.abort();
    this.#stop();
    this.#map.removeLayer(this.#layer);
  }

  #tap(event: MapBrowserEvent): void {
    if (this.#ended) return;
    const xy = fromMap(event.coordinate);
    if (this.#plan.kind === 'point') {
      this.#points = [xy];
      this.end();
      return;
    }
    const near = (point: Xy | undefined) => {
      if (!point) return false;
      const at = this.#map.getPixelFromCoordinate(toMap(point));
      return Math.hypot(at[0]! - event.pixel[0]!, at[1]! - event.pixel[1]!) < samePlacePx;
    };
    const enough = this.#points.length >= (this.#plan.kind === 'area' ? 3 : 2);
    if (near(this.#points.at(-1)) || (this.#plan.kind === 'area' && near(this.#points[0]))) {
      if (enough) this.end();
      return;
    }
    this.#points.push(xy);
    this.#tell();
  }

  #key(event: KeyboardEvent): void {
    if (event.key === 'Enter' && !this.#ended) {
      event.preventDefault();
      this.#points.push(fromMap(this.#map.getView().getCenter() ?? [0, 0]));
      if (this.#plan.kind === 'point') this.end();
      else this.#tell();
    } else if (event.key === 'Backspace') {
      event.preventDefault();
      this.takeBack();
    }
  }

  #tell(): void {
    this.#draw();
    this.#plan.onChange([...this.#points], this.#ended);
  }

  #draw(): void {
    this.#source.clear();
    const { kind, sign } = this.#plan;
    const resolution = this.#map.getView().getResolution() ?? 1;
    const live = this.#hover && !this.#ended && kind !== 'point' ? [this.#hover] : [];
    const xyMm = [...this.#points, ...live];
    if (xyMm.length > 0 && this.#points.length > 0) {
      const shape = new Feature({ geometry: findingGeometry({ kind, xyMm }) });
      shape.setStyle(findingStyle({ kind, xyMm, sign, otherFace: false }, resolution, false));
      this.#source.addFeature(shape);
    }
    for (const point of this.#points) {
      const dot = new Feature({ geometry: new PointGeometry(toMap(point)) });
      dot.setStyle(vertexStyle(signColour(sign)));
      this.#source.addFeature(dot);
    }
  }
}

const vertexStyle = (colour: string): Style =>
  new Style({
    image: new Circle({
      radius: 5,
      fill: new Fill({ color: '#fff' }),
      stroke: new Stroke({ color: colour, width: 2.5 }),
    }),
  });
