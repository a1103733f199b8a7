/** The painted wall as two layers of the map: what lies under the glass, and what lies over it. */

import Layer from 'ol/layer/Layer.js';
import type { FrameState } from 'ol/Map.js';
import { fromMap } from '../drawing/plane.js';
import type { WallLook } from './wall-ink.js';
import type { HungRow } from './wall-layout.js';
import { WallPainter, watchLetters } from './wall-painter.js';
import type { WallView } from './wall-view.js';

type Paint = (context: CanvasRenderingContext2D, view: WallView, ratio: number) => void;

export class WallLayers {
  /** below the glass */
  readonly ground: Layer;
  /** above the glass */
  readonly above: Layer;
  readonly #painter = new WallPainter();
  readonly #unwatch = watchLetters(() => {
    this.above.changed();
  });

  constructor() {
    this.ground = paintedLayer((...on) => {
      this.#painter.paintGround(...on);
    });
    this.above = paintedLayer((...on) => {
      this.#painter.paintAbove(...on);
    });
  }

  stand(rows: readonly HungRow[]): void {
    this.#painter.stand(rows);
    this.#changed();
  }

  setLook(look: WallLook): void {
    this.#painter.setLook(look);
    this.#changed();
  }

  dispose(): void {
    this.#unwatch();
  }

  #changed(): void {
    this.ground.changed();
    this.above.changed();
  }
}

function paintedLayer(paint: Paint): Layer {
  const canvas = document.createElement('canvas');
  canvas.className = 'wall-paint';
  const context = canvas.getContext('2d')!;
  return new Layer({
    render: ({ size, pixelRatio, viewState: { center, resolution } }: FrameState) => {
      const [width = 0, height = 0] = size;
      const [w, h] = [Math.round(width * pixelRatio), Math.round(height * pixelRatio)];
      if (canvas.width !== w || canvas.height !== h) {
        canvas.width = w;
        canvas.height = h;
      } else {
        context.setTransform(1, 0, 0, 1, 0, 0);
        context.clearRect(0, 0, w, h);
      }
      const k = 1 / resolution;
      const [x, y] = fromMap(center);
      paint(
        context,
        { k, tx: width / 2 - x * k, ty: height / 2 - y * k, width, height },
        pixelRatio,
      );
      return canvas;
    },
  });
}
