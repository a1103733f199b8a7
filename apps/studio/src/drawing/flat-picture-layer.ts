/** One flattened picture under a drawing: even px to the mm, no turn, so that a frame is one drawing of it. */
import Layer from 'ol/layer/Layer.js';
import type { FrameState } from 'ol/Map.js';
import type { Homography } from './homography.js';

export class FlatPictureLayer extends Layer {
  readonly #image: HTMLImageElement;
  readonly #imageFromPanel: Homography;
  /** A bare canvas would be drawn into by the layers above, and fade with the picture. */
  readonly #holder = document.createElement('div');
  readonly #canvas = document.createElement('canvas');
  #painted = '';

  /** @param imageFromPanel scale and shift only; px centres lie at integers */
  constructor(image: HTMLImageElement, imageFromPanel: Homography) {
    super({});
    this.#image = image;
    this.#imageFromPanel = imageFromPanel;
    this.#holder.className = 'picture-layer';
    this.#holder.style.cssText = 'position:absolute;inset:0';
    this.#canvas.style.cssText = 'display:block;width:100%;height:100%';
    this.#holder.append(this.#canvas);
  }

  override render(frame: FrameState): HTMLElement {
    const { pixelRatio, size, viewState } = frame;
    const widthPx = Math.round(size[0]! * pixelRatio);
    const heightPx = Math.round(size[1]! * pixelRatio);
    this.#holder.style.opacity = String(this.getOpacity());
    const key = [widthPx, heightPx, viewState.resolution, ...viewState.center].join();
    if (key === this.#painted) return this.#holder;
    this.#painted = key;
    this.#canvas.width = widthPx;
    this.#canvas.height = heightPx;
    const context = this.#canvas.getContext('2d');
    if (!context) return this.#holder;
    const pxPerMm = pixelRatio / viewState.resolution;
    const [sx, , tx, , sy, ty] = this.#imageFromPanel;
    // A canvas counts from the corner of a px, the picture from its centre.
    const left = ((-0.5 - tx) / sx - viewState.center[0]!) * pxPerMm + widthPx / 2;
    const top = ((-0.5 - ty) / sy + viewState.center[1]!) * pxPerMm + heightPx / 2;
    context.imageSmoothingQuality = 'high';
    context.drawImage(
      this.#image,
      left,
      top,
      (this.#image.naturalWidth / sx) * pxPerMm,
      (this.#image.naturalHeight / sy) * pxPerMm,
    );
    return this.#holder;
  }
}
