/**
 * The drawing in the making as a layer of the board. While one drags, everything that does not move is
 * a picture painted once: a frame then costs the few leads that follow the hand.
 */
import Layer from 'ol/layer/Layer.js';
import type { FrameState } from 'ol/Map.js';
import type { DrawnLead } from '#libs/net';
import { paintGlass, paintLeads } from './draft-leads.js';
import { type DraftScene, paintLive, paintSigns } from './draft-scene.js';
import type { CanvasView } from './draft-view.js';
import type { Xy } from './plane.js';

/** Shared by the board and its loupe. */
export interface DraftModel {
  scene: DraftScene;
  outline: readonly Xy[];
  /** leads that move under the hand; null while nothing is dragged */
  moving: ReadonlySet<string> | null;
}

export class DraftLayer extends Layer {
  readonly #model: DraftModel;
  readonly #canvas = document.createElement('canvas');
  readonly #still = document.createElement('canvas');
  readonly #band = document.createElement('canvas');
  #stillKey: readonly unknown[] = [];

  constructor(model: DraftModel) {
    super({});
    this.#model = model;
    this.#canvas.className = 'picture-layer';
    this.#canvas.style.cssText = 'position:absolute;inset:0;width:100%;height:100%';
  }

  override render(frame: FrameState): HTMLElement {
    const { pixelRatio, size, viewState } = frame;
    const pxPerMm = pixelRatio / viewState.resolution;
    const view: CanvasView = {
      pxPerMm,
      widthPx: Math.round(size[0]! * pixelRatio),
      heightPx: Math.round(size[1]! * pixelRatio),
      leftPx: (size[0]! * pixelRatio) / 2 - viewState.center[0]! * pxPerMm,
      topPx: (size[1]! * pixelRatio) / 2 + viewState.center[1]! * pxPerMm,
      ratio: pixelRatio,
    };
    const context = cleared(this.#canvas, view);
    const { scene, moving } = this.#model;
    if (!context || scene.hidden) return this.#canvas;
    this.#paintStill(view);
    context.drawImage(this.#still, 0, 0);
    if (moving) {
      const live = [...moving].flatMap((id) => scene.drawing.leads.get(id) ?? []);
      this.#paintBand(context, view, live);
    }
    paintLive(context, view, scene, moving);
    return this.#canvas;
  }

  /** Paints what does not move, unless it is painted already. */
  #paintStill(view: CanvasView): void {
    const { scene, moving, outline } = this.#model;
    const key: readonly unknown[] = [
      moving ?? scene.drawing,
      scene.numbers,
      scene.glass,
      outline,
      ...(Object.values(view) as number[]),
    ];
    if (key.every((part, i) => part === this.#stillKey[i])) return;
    this.#stillKey = key;
    const context = cleared(this.#still, view);
    if (!context) return;
    paintGlass(context, view, outline, scene.glass);
    const leads = [...scene.drawing.leads].flatMap(([id, lead]) => (moving?.has(id) ? [] : [lead]));
    this.#paintBand(context, view, leads);
    paintSigns(context, view, scene, moving);
  }

  #paintBand(context: CanvasRenderingContext2D, view: CanvasView, leads: Iterable<DrawnLead>) {
    const band = cleared(this.#band, view);
    if (!band) return;
    paintLeads(band, view, leads, this.#model.scene.glass);
    context.setTransform(1, 0, 0, 1, 0, 0);
    context.drawImage(this.#band, 0, 0);
  }
}

function cleared(
  canvas: HTMLCanvasElement,
  { widthPx, heightPx }: CanvasView,
): CanvasRenderingContext2D | null {
  if (canvas.width !== widthPx || canvas.height !== heightPx) {
    canvas.width = widthPx;
    canvas.height = heightPx;
  }
  const context = canvas.getContext('2d');
  if (!context) return null;
  context.setTransform(1, 0, 0, 1, 0, 0);
  context.globalCompositeOperation = 'source-over';
  context.clearRect(0, 0, widthPx, heightPx);
  return context;
}
