/**
 * The glass of every drawn piece on the wall, thousands at once: drawn by WebGL from one packed
 * outline a window, on a canvas where a browser has no WebGL. Two draw calls whatever the number.
 */
import Feature from 'ol/Feature.js';
import Polygon from 'ol/geom/Polygon.js';
import type Layer from 'ol/layer/Layer.js';
import VectorLayer from 'ol/layer/Vector.js';
import WebGLVectorLayer from 'ol/layer/WebGLVector.js';
import VectorSource from 'ol/source/Vector.js';
import type { FlatStyle } from 'ol/style/flat.js';
import type { NamedOutline } from '#libs/elevation';
import { ringToMap, type Xy } from '../drawing/plane.js';

/** Neighbours differ a little, so that the eye finds the pieces. The last one is the lead. */
const tones = ['#d9dcd3', '#cfd6d4', '#dedccf', '#c9d2d2', '#d5d3c6', '#d0dad0', '#0c0d0d'];
const leadTone = tones.length - 1;
// By ranges: between corners of equal tone the graphics card interpolates to almost that tone.
const toneColour = [
  'case',
  ...tones
    .slice(0, leadTone)
    .flatMap((colour, tone) => [['<', ['get', 'tone'], tone + 0.5], colour]),
  tones[leadTone],
];

/** Panels of this height, px on the screen, begin to show their leads as lines, and their glass. */
const linesFromPx = 14;
const glassFromPx = { begins: 90, whole: 170 };
/** Height of a usual panel, mm: the wall is looked at as a whole, not panel by panel. */
const panelMm = 500;

export class GlassLayers {
  readonly layers: readonly Layer[];
  readonly #source = new VectorSource<Feature<Polygon>>();
  readonly #glass: Layer;
  readonly #lines: Layer;
  readonly #hung = new Map<string, Feature<Polygon>[]>();

  constructor() {
    const fill: FlatStyle = { 'fill-color': toneColour };
    const lines: FlatStyle = { 'stroke-color': '#0c0d0d', 'stroke-width': 0.8 };
    this.#glass = layerOf(this.#source, fill);
    this.#lines = layerOf(this.#source, lines);
    this.layers = [this.#glass, this.#lines];
  }

  /** @param outlines in the window's frame; undefined takes the window's glass away */
  hang(windowId: string, at: Xy, outlines: readonly NamedOutline[] | undefined): void {
    const before = this.#hung.get(windowId);
    if (before) this.#source.removeFeatures(before);
    this.#hung.delete(windowId);
    if (!outlines) return;
    const features = outlines.flatMap(({ name, ringsMm }, index) =>
      ringsMm.map(
        (ring) =>
          new Feature({
            geometry: new Polygon([ringToMap(ring.map(([x, y]): Xy => [x + at[0], y + at[1]]))]),
            tone: name.includes('.') ? (index * 5) % leadTone : leadTone,
          }),
      ),
    );
    this.#source.addFeatures(features);
    this.#hung.set(windowId, features);
  }

  isHung(windowId: string): boolean {
    return this.#hung.has(windowId);
  }

  /** Far off a panel shows its state with leads as hairlines; near, its glass and lead as they are. */
  setResolution(resolution: number): void {
    const heightPx = panelMm / resolution;
    const { begins, whole } = glassFromPx;
    const glass = Math.min(1, Math.max(0, (heightPx - begins) / (whole - begins)));
    this.#glass.setOpacity(glass);
    this.#glass.setVisible(glass > 0);
    this.#lines.setOpacity(
      Math.min(0.75, Math.max(0, (heightPx - linesFromPx) / 60)) * (1 - glass),
    );
    this.#lines.setVisible(heightPx > linesFromPx && glass < 1);
  }

  dispose(): void {
    for (const layer of this.layers) layer.dispose();
  }
}

let webGl: boolean | undefined;

/** Whether this browser draws by WebGL; asked once. */
export function hasWebGl(): boolean {
  webGl ??= document.createElement('canvas').getContext('webgl') !== null;
  return webGl;
}

function layerOf(source: VectorSource<Feature<Polygon>>, style: FlatStyle): Layer {
  return hasWebGl()
    ? new WebGLVectorLayer({ source, style, disableHitDetection: true })
    : new VectorLayer({ source, style });
}
