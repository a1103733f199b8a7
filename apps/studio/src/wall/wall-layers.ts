/** Stone, bars, panels and names of the windows on the wall, each kind in a layer of its own. */
import Feature, { type FeatureLike } from 'ol/Feature.js';
import LineString from 'ol/geom/LineString.js';
import Point from 'ol/geom/Point.js';
import Polygon from 'ol/geom/Polygon.js';
import VectorLayer from 'ol/layer/Vector.js';
import VectorSource from 'ol/source/Vector.js';
import Fill from 'ol/style/Fill.js';
import Stroke from 'ol/style/Stroke.js';
import Style from 'ol/style/Style.js';
import Text from 'ol/style/Text.js';
import type { PanelPlace } from '#libs/elevation';
import { lineToMap, ringToMap, toMap, type Xy } from '../drawing/plane.js';
import type { WindowPanel } from '../platform/api/windows.js';
import { token } from '../platform/ground.js';
import { type Hatch, hatchFill, plain } from './hatches.js';
import { inTwoLines } from './in-two-lines.js';
import type { Showing } from './showing/showing.js';
import type { HungRow, HungWindow } from './wall-layout.js';

export interface WallLook {
  /** null: nothing is shown but the drawing */
  readonly showing: Showing | null;
  /** panels by window; a window that is not there is not known yet */
  readonly panels: ReadonlyMap<string, ReadonlyMap<string, WindowPanel>>;
  /** the window that one stands before: the others step back */
  readonly windowId: string | null;
}

const font = '"Atkinson Hyperlegible Next Variable", sans-serif';
/** Px on screen from which a panel's mark helps. */
const markFromPx = { width: 38, height: 24 };
/** From this height, px, marks give way to the glass itself. */
const markToPx = 150;
/** A window smaller than this, px, is chosen whole. */
export const farPx = 170;

export class WallLayers {
  /** below the glass */
  readonly ground: readonly VectorLayer[];
  /** above the glass */
  readonly above: readonly VectorLayer[];
  readonly #opening = new VectorSource();
  readonly #panels = new VectorSource();
  readonly #stone = new VectorSource();
  readonly #words = new VectorSource();
  #look: WallLook | undefined;
  #hatches = new Map<string, Hatch>();

  constructor() {
    const layer = (
      source: VectorSource,
      style: (feature: FeatureLike, resolution: number) => Style | Style[] | undefined,
      declutter = false,
    ) =>
      // A whole window is kept ready beside the screen, so that moving never shows an edge.
      new VectorLayer({ source, style, renderBuffer: 1600, declutter });
    this.ground = [
      layer(this.#opening, openingStyle),
      layer(this.#panels, (feature, resolution) => this.#panelStyle(feature, resolution)),
    ];
    this.above = [
      layer(this.#stone, (feature, resolution) => this.#stoneStyle(feature, resolution)),
      // names of small windows would run into one another: those that do not fit are left out
      layer(this.#words, (feature, resolution) => this.#wordStyle(feature, resolution), true),
    ];
  }

  stand(rows: readonly HungRow[]): void {
    for (const source of [this.#opening, this.#panels, this.#stone, this.#words]) source.clear();
    for (const { name, windows, box } of rows) {
      this.#opening.addFeature(
        new Feature(
          new LineString(
            lineToMap([
              [box.minX - 400, box.maxY],
              [box.maxX + 400, box.maxY],
            ]),
          ),
        ),
      );
      if (name !== null)
        this.#words.addFeature(
          wordAt([(box.minX + box.maxX) / 2, box.maxY], { kind: 'site', text: inTwoLines(name) }),
        );
      for (const hung of windows) this.#hang(hung);
    }
  }

  setLook(look: WallLook): void {
    this.#look = look;
    this.#hatches = new Map(look.showing?.shades.map(({ key, hatch }) => [key, hatch]));
    for (const layer of [...this.ground, ...this.above]) layer.changed();
  }

  #hang({ windowId, name, shape, xMm, yMm }: HungWindow): void {
    const moved = (line: readonly Xy[]) => line.map(([x, y]): Xy => [x + xMm, y + yMm]);
    this.#opening.addFeature(
      new Feature({ geometry: new Polygon([ringToMap(moved(shape.openingMm))]), windowId }),
    );
    this.#panels.addFeatures(
      shape.places.map(
        (place) =>
          new Feature({ geometry: new Polygon([ringToMap(moved(place.ringMm))]), windowId, place }),
      ),
    );
    this.#words.addFeatures(
      shape.places.map((place) => {
        const { minX, minY, maxX, maxY } = place.boundsMm;
        return wordAt([(minX + maxX) / 2 + xMm, (minY + maxY) / 2 + yMm], {
          kind: 'panel',
          windowId,
          place,
        });
      }),
    );
    this.#stone.addFeatures([
      ...shape.bars.map(
        ({ lineMm }) =>
          new Feature({
            geometry: new LineString(lineToMap(moved(lineMm))),
            windowId,
            isBar: true,
          }),
      ),
      ...[...shape.lights, ...shape.tracery].map(
        ({ ringMm }) =>
          new Feature({ geometry: new Polygon([ringToMap(moved(ringMm))]), windowId }),
      ),
    ]);
    const left = Math.min(0, ...shape.lights.map((light) => light.xMm));
    const [first, second] = shape.rows;
    const stepMm = first && second ? Math.abs(first.yMm - second.yMm) : 400;
    this.#words.addFeatures([
      wordAt([shape.widthMm / 2 + xMm, shape.heightMm + yMm], {
        kind: 'window',
        windowId,
        text: name,
        widthMm: shape.widthMm,
        heightMm: shape.heightMm,
      }),
      ...shape.rows.map(({ row: number, yMm: y }) =>
        wordAt([left + xMm, y + yMm], {
          kind: 'row',
          windowId,
          text: String(number),
          index: number - 1,
          stepMm,
          heightMm: shape.heightMm,
        }),
      ),
      ...shape.lights.flatMap(({ letters, bottomMm }) =>
        letters.map(({ letter, xMm: x }) =>
          wordAt([x + xMm, bottomMm + yMm], {
            kind: 'letter',
            windowId,
            text: letter,
            heightMm: shape.heightMm,
          }),
        ),
      ),
    ]);
  }

  #stepsBack(feature: FeatureLike): boolean {
    const windowId = this.#look?.windowId ?? null;
    return windowId !== null && feature.get('windowId') !== windowId;
  }

  #panel(feature: FeatureLike): WindowPanel | undefined {
    const { mark } = feature.get('place') as PanelPlace;
    return this.#look?.panels.get(feature.get('windowId') as string)?.get(mark);
  }

  #hatch(feature: FeatureLike): Hatch {
    const panel = this.#panel(feature);
    const showing = this.#look?.showing;
    if (!panel || !showing) return plain;
    const key = showing.ofPanel(feature.get('windowId') as string, panel);
    return this.#hatches.get(key) ?? plain;
  }

  #panelStyle(feature: FeatureLike, resolution: number): Style {
    const back = this.#stepsBack(feature);
    return new Style({
      fill: new Fill({ color: back ? token('table-far-glass') : hatchFill(this.#hatch(feature)) }),
      stroke: new Stroke({
        color: '#0a0b0b',
        width: Math.max(1.2, Math.min(1.6, 10 / resolution)),
      }),
    });
  }

  #stoneStyle(feature: FeatureLike, resolution: number): Style {
    const back = this.#stepsBack(feature);
    return feature.get('isBar') === true
      ? new Style({
          stroke: new Stroke({
            color: back ? token('table-far-stone') : token('table-bar'),
            width: Math.max(2, 14 / resolution),
            lineCap: 'butt',
          }),
        })
      : new Style({
          stroke: new Stroke({
            color: back ? token('table-far-stone') : token('table-stone'),
            width: Math.max(2.2, 18 / resolution),
          }),
        });
  }

  #wordStyle(feature: FeatureLike, resolution: number): Style | undefined {
    const said = feature.getProperties() as WallWord;
    const heightPx = (said.heightMm ?? Infinity) / resolution;
    const far = heightPx < farPx;
    const back = this.#stepsBack(feature);
    if (said.kind === 'panel') return back ? undefined : this.#markStyle(feature, resolution);
    if (said.kind === 'site')
      return word(said.text!, {
        sizePx: 20,
        family: 'Literata Variable, serif',
        dy: 84,
      });
    if (said.kind === 'window')
      return word(said.text!, {
        sizePx: far ? 15 : 17,
        weight: 600,
        dy: far ? 22 : 46,
        color: back ? token('table-far-ink') : token('table-ink'),
        // the window that one is at keeps its name, then the wider ones
        rank: back ? 0 : 1 + said.widthMm!,
      });
    if (far || back) return undefined;
    if (said.kind === 'row') {
      const every = Math.max(1, Math.ceil((19 * resolution) / said.stepMm!));
      return said.index! % every === 0
        ? word(said.text!, { sizePx: 14, dx: -12, right: true })
        : undefined;
    }
    return word(said.text!, { sizePx: 15, dy: 17 });
  }

  #markStyle(feature: FeatureLike, resolution: number): Style | undefined {
    const { mark, boundsMm } = feature.get('place') as PanelPlace;
    const width = (boundsMm.maxX - boundsMm.minX) / resolution;
    const height = (boundsMm.maxY - boundsMm.minY) / resolution;
    const panel = this.#panel(feature);
    const isGlass = panel?.netRevision != null && height > markToPx;
    if (width < markFromPx.width || height < markFromPx.height || isGlass) return undefined;
    const hatch = this.#hatch(feature);
    const pale = hatch.pale === true;
    const count = panel === undefined ? 0 : (this.#look?.showing?.countOf?.(panel) ?? 0);
    const many = count > 0 ? `: ${count}` : '';
    return word(mark + many, {
      sizePx: Math.min(15, Math.max(11, height * 0.5)),
      weight: 500,
      color: hatch === plain ? token('table-unlit-ink') : pale ? '#16181a' : '#f2efe8',
      halo: hatch === plain ? `${token('table-unlit-halo')}b0` : pale ? '#f3efe6b0' : '#0b0d0ecc',
    });
  }
}

interface WallWord {
  readonly kind: 'panel' | 'site' | 'window' | 'row' | 'letter';
  readonly text?: string;
  readonly windowId?: string;
  readonly place?: PanelPlace;
  readonly index?: number;
  readonly stepMm?: number;
  readonly widthMm?: number;
  readonly heightMm?: number;
}

const wordAt = (xy: Xy, said: WallWord) => new Feature({ geometry: new Point(toMap(xy)), ...said });

function word(
  text: string,
  {
    sizePx,
    weight = 400,
    family = font,
    color = token('table-quiet'),
    halo,
    dx = 0,
    dy = 0,
    right = false,
    rank = 0,
  }: {
    sizePx: number;
    weight?: number;
    family?: string;
    color?: string;
    halo?: string;
    dx?: number;
    dy?: number;
    right?: boolean;
    rank?: number;
  },
): Style {
  return new Style({
    zIndex: rank,
    text: new Text({
      text,
      font: `${weight} ${Math.round(sizePx)}px ${family}`,
      fill: new Fill({ color }),
      ...(halo ? { stroke: new Stroke({ color: halo, width: 3 }) } : {}),
      padding: [0, 4, 0, 4],
      offsetX: dx,
      offsetY: dy,
      textAlign: right ? 'right' : 'center',
    }),
  });
}

const openingStyle = (feature: FeatureLike): Style =>
  feature.get('windowId') === undefined
    ? new Style({ stroke: new Stroke({ color: token('table-opening-edge'), width: 1.5 }) })
    : new Style({
        fill: new Fill({ color: `${token('table-opening')}80` }),
        stroke: new Stroke({ color: token('table-opening-edge'), width: 2 }),
      });
