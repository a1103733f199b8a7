import Layer from 'ol/layer/Layer.js';
import type { FrameState } from 'ol/Map.js';
import { flipY, type Homography, invert, multiply } from './homography.js';
import { paintWarped } from './paint-warped.js';
import type { TilePyramid } from './tile-pyramid.js';

/** A picture laid under a drawing through `imageFromPlane` (plane: panel mm, or the picture's own px). */
export class PictureLayer extends Layer {
  readonly #pyramid: TilePyramid;
  readonly #imageFromPlane: Homography;
  /** A bare canvas would be drawn into by the layers above, and fade and be cut with the picture. */
  readonly #holder = document.createElement('div');
  readonly #canvas = document.createElement('canvas');
  readonly #stop: () => void;

  constructor(pyramid: TilePyramid, imageFromPlane: Homography) {
    super({});
    this.#pyramid = pyramid;
    this.#imageFromPlane = imageFromPlane;
    this.#holder.className = 'picture-layer';
    this.#holder.style.cssText = 'position:absolute;inset:0';
    this.#canvas.style.cssText = 'display:block;width:100%;height:100%';
    this.#holder.append(this.#canvas);
    this.#stop = pyramid.onLoad(() => {
      this.changed();
    });
  }

  /** Shows only what lies between two shares of the screen's width. */
  setPart([from, to]: readonly [number, number]): void {
    this.#holder.style.clipPath =
      from <= 0 && to >= 1 ? '' : `inset(0 ${(1 - to) * 100}% 0 ${from * 100}%)`;
  }

  override render(frame: FrameState): HTMLElement {
    const { pixelRatio, size, viewState } = frame;
    const widthPx = Math.round(size[0]! * pixelRatio);
    const heightPx = Math.round(size[1]! * pixelRatio);
    if (this.#canvas.width !== widthPx || this.#canvas.height !== heightPx) {
      this.#canvas.width = widthPx;
      this.#canvas.height = heightPx;
    }
    this.#holder.style.opacity = String(this.getOpacity());
    const context = this.#canvas.getContext('2d');
    if (!context) return this.#holder;
    context.setTransform(1, 0, 0, 1, 0, 0);
    context.clearRect(0, 0, widthPx, heightPx);
    context.imageSmoothingQuality = 'high';
    const scale = pixelRatio / viewState.resolution;
    const [centreX, centreY] = [viewState.center[0]!, viewState.center[1]!];
    const screenFromMap: Homography = [
      scale,
      0,
      widthPx / 2 - centreX * scale,
      0,
      -scale,
      heightPx / 2 + centreY * scale,
      0,
      0,
      1,
    ];
    const screenFromImage = multiply(multiply(screenFromMap, flipY), invert(this.#imageFromPlane));
    paintWarped(context, this.#pyramid, screenFromImage, widthPx, heightPx);
    return this.#holder;
  }

  protected override disposeInternal(): void {
    this.#stop();
    super.disposeInternal();
  }
}
