/** Pictures that lie on each other under the drawing, each through its own way into the panel's frame. */
import type OlMap from 'ol/Map.js';
import type { Homography } from './homography.js';
import { PictureLayer } from './picture-layer.js';
import type { TilePyramid } from './tile-pyramid.js';

export interface StackedSheet {
  readonly mediaId: string;
  readonly pyramid: TilePyramid;
  readonly imageFromPanel: Homography;
  readonly opacity: number;
  /** shares of the screen's width between which it is seen */
  readonly part: readonly [number, number];
}

export class SheetStack {
  readonly #map: OlMap;
  #layers = new Map<string, PictureLayer>();

  constructor(map: OlMap) {
    this.#map = map;
  }

  /** @param sheets from below; one that stays is kept with its tiles */
  set(sheets: readonly StackedSheet[]): void {
    const kept = new Map<string, PictureLayer>();
    sheets.forEach(({ mediaId, pyramid, imageFromPanel, opacity, part }, index) => {
      const key = `${mediaId} ${imageFromPanel.join(' ')}`;
      let layer = this.#layers.get(key);
      if (!layer) {
        layer = new PictureLayer(pyramid, imageFromPanel);
        this.#map.addLayer(layer);
      }
      kept.set(key, layer);
      layer.setZIndex(1 + index / 100);
      layer.setOpacity(opacity);
      layer.setPart(part);
    });
    for (const [key, layer] of this.#layers) {
      if (kept.has(key)) continue;
      this.#map.removeLayer(layer);
      layer.dispose();
    }
    this.#layers = kept;
  }
}
