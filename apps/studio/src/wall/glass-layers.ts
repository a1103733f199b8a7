/**
 * Lead and glass of every drawn piece on the wall, thousands at once: filled by WebGL from one packed
 * outline a window, on a canvas where a browser has no WebGL. Two draw calls whatever the number.
 *
 * The lead of a panel is one area with the glass cut out of it. Lines along it would cost a machine
 * without a graphics card many times as much.
 */
import Feature from 'ol/Feature.js';
import Polygon from 'ol/geom/Polygon.js';
import type Layer from 'ol/layer/Layer.js';
import VectorLayer from 'ol/layer/Vector.js';
import WebGLVectorLayer from 'ol/layer/WebGLVector.js';
import VectorSource from 'ol/source/Vector.js';
import Fill from 'ol/style/Fill.js';
import type { FlatStyle } from 'ol/style/flat.js';
import Stroke from 'ol/style/Stroke.js';
import Style from 'ol/style/Style.js';
import type { NamedOutline } from '#libs/elevation';
import { ringToMap, type Xy } from '../drawing/plane.js';
import { type Hatch, hatchFill } from './hatches.js';
import { glassShown, glassTones, leadColour, toneOf } from './wall-ink.js';

// By ranges: between corners of equal tone the graphics card interpolates to almost that tone.
const toneColour = [
  'case',
  ...glassTones.slice(1).flatMap((colour, tone) => [['<', ['get', 'tone'], tone + 0.5], colour]),
  glassTones[0]!,
];

type Area = Feature<Polygon>;
type Areas = VectorSource<Area>;

interface Hung {
  readonly at: Xy;
  readonly outlines: readonly NamedOutline[];
  readonly lead: readonly Area[];
  readonly glass: readonly Area[];
}

export class GlassLayers {
  readonly layers: readonly Layer[];
  readonly #leadAreas: Areas = new VectorSource<Area>();
  readonly #glassAreas: Areas = new VectorSource<Area>();
  readonly #said = new VectorSource<Area>();
  readonly #lead: Layer;
  readonly #glass: Layer;
  readonly #saidLayer: Layer;
  readonly #hung = new Map<string, Hung>();

  constructor() {
    this.#lead = layerOf(this.#leadAreas, { 'fill-color': leadColour });
    this.#glass = layerOf(this.#glassAreas, { 'fill-color': toneColour });
    this.#saidLayer = new VectorLayer({
      source: this.#said,
      style: (feature) => saidStyle(feature.get('hatch') as Hatch),
    });
    this.layers = [this.#lead, this.#glass, this.#saidLayer];
  }

  /** @param outlines in the window's frame; undefined takes the window's glass away */
  hang(windowId: string, at: Xy, outlines: readonly NamedOutline[] | undefined): void {
    const before = this.#hung.get(windowId);
    if (before?.outlines === outlines && before?.at[0] === at[0] && before.at[1] === at[1]) return;
    if (before) {
      this.#leadAreas.removeFeatures([...before.lead]);
      this.#glassAreas.removeFeatures([...before.glass]);
    }
    this.#hung.delete(windowId);
    if (!outlines) return;
    const { lead, glass } = areasOf(at, outlines);
    this.#leadAreas.addFeatures(lead);
    this.#glassAreas.addFeatures(glass);
    this.#hung.set(windowId, { at, outlines, lead, glass });
  }

  /**
   * Hatches the pieces of which something is said, over the glass.
   * @param said by panel and piece, `2b.17`
   */
  say(windowId: string, said: ReadonlyMap<string, Hatch>): void {
    const gone = this.#said.getFeatures().filter((one) => one.get('windowId') === windowId);
    this.#said.removeFeatures(gone);
    const hung = this.#hung.get(windowId);
    if (!hung || said.size === 0) return;
    const [dx, dy] = hung.at;
    this.#said.addFeatures(
      hung.outlines.flatMap(({ name, ringsMm }) => {
        const hatch = said.get(name);
        if (!hatch) return [];
        return ringsMm.map((ring) => {
          const geometry = new Polygon([ringToMap(ring.map(([x, y]): Xy => [x + dx, y + dy]))]);
          return new Feature({ geometry, windowId, hatch });
        });
      }),
    );
  }

  setResolution(resolution: number): void {
    const { lead, glass } = glassShown(resolution);
    show(this.#glass, glass);
    show(this.#saidLayer, glass);
    show(this.#lead, lead);
  }

  dispose(): void {
    for (const layer of this.layers) layer.dispose();
  }
}

function show(layer: Layer, opacity: number): void {
  layer.setOpacity(opacity);
  layer.setVisible(opacity > 0);
}

/** A panel (`2b`) comes before its pieces (`2b.17`); its edge without their glass is its lead. */
function areasOf(
  at: Xy,
  outlines: readonly NamedOutline[],
): { readonly lead: Area[]; readonly glass: Area[] } {
  const placed = (ring: readonly Xy[]) =>
    ringToMap(ring.map(([x, y]): Xy => [x + at[0], y + at[1]]));
  const panels: ReturnType<typeof placed>[][] = [];
  const glass: Area[] = [];
  for (const [index, { name, ringsMm }] of outlines.entries()) {
    const rings = ringsMm.map(placed);
    if (!name.includes('.')) {
      if (rings[0]) panels.push([rings[0]]);
      continue;
    }
    panels.at(-1)?.push(...rings);
    const tone = toneOf(index);
    glass.push(...rings.map((ring) => new Feature({ geometry: new Polygon([ring]), tone })));
  }
  return { lead: panels.map((rings) => new Feature({ geometry: new Polygon(rings) })), glass };
}

const saidStyles = new Map<Hatch, Style>();

function saidStyle(hatch: Hatch): Style {
  let style = saidStyles.get(hatch);
  if (!style) {
    style = new Style({
      fill: new Fill({ color: hatchFill(hatch) }),
      stroke: new Stroke({ color: leadColour, width: 1 }),
    });
    saidStyles.set(hatch, style);
  }
  return style;
}

let webGl: boolean | undefined;

/** Whether this browser draws by WebGL; asked once. */
function hasWebGl(): boolean {
  webGl ??= document.createElement('canvas').getContext('webgl') !== null;
  return webGl;
}

function layerOf(source: Areas, style: FlatStyle): Layer {
  return hasWebGl()
    ? new WebGLVectorLayer({ source, style, disableHitDetection: true })
    : new VectorLayer({ source, style });
}
