/**
 * A round glass that shows what lies under the point at four times the size: docked in a corner
 * while the mouse or the keys aim, beside the finger while one drags.
 */
import type Layer from 'ol/layer/Layer.js';
import OlMap from 'ol/Map.js';
import View from 'ol/View.js';
import { toMap, type Xy } from './plane.js';
import { planeProjection } from './plane-map.js';

const diameterPx = 148;
const magnifies = 4;

export class Loupe {
  readonly #frame = document.createElement('div');
  readonly #map: OlMap;
  readonly #host: HTMLElement;

  /** @param layers layers of the loupe's own; a layer belongs to one map */
  constructor(host: HTMLElement, layers: readonly Layer[]) {
    this.#host = host;
    this.#frame.className = 'loupe';
    this.#frame.setAttribute('aria-hidden', 'true');
    this.#frame.style.width = this.#frame.style.height = `${diameterPx}px`;
    const glass = document.createElement('div');
    glass.className = 'loupe-glass';
    const cross = document.createElement('div');
    cross.className = 'loupe-cross';
    this.#frame.append(glass, cross);
    host.append(this.#frame);
    this.#map = new OlMap({
      target: glass,
      controls: [],
      interactions: [],
      layers: [...layers],
      view: new View({
        projection: planeProjection,
        center: [0, 0],
        resolution: 1,
        minResolution: 1e-4,
        maxResolution: 1e4,
        enableRotation: false,
      }),
    });
    this.hide();
  }

  /** @param resolution of the drawing that is aimed at, plane units per px */
  show(xy: Xy, resolution: number, besidePx?: readonly [number, number]): void {
    this.#frame.style.visibility = 'visible';
    const view = this.#map.getView();
    view.setCenter(toMap(xy));
    view.setResolution(resolution / magnifies);
    if (besidePx) {
      const left = besidePx[0] > this.#host.clientWidth / 2;
      const x = besidePx[0] + (left ? -diameterPx - 46 : 46);
      const y = besidePx[1] - diameterPx - 14;
      this.#frame.style.left = `${Math.max(6, x)}px`;
      this.#frame.style.top = `${Math.max(6, y)}px`;
    } else {
      this.#frame.style.left = '14px';
      this.#frame.style.top = '14px';
    }
  }

  hide(): void {
    this.#frame.style.visibility = 'hidden';
  }

  dispose(): void {
    this.#map.setTarget(undefined);
    this.#frame.remove();
  }
}
