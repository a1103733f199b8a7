/** What is being drawn, over everything else: the finding so far, its points, the stroke, the brush, the pull. */
import Feature from 'ol/Feature.js';
import CircleGeometry from 'ol/geom/Circle.js';
import type Geometry from 'ol/geom/Geometry.js';
import LineString from 'ol/geom/LineString.js';
import MultiPolygon from 'ol/geom/MultiPolygon.js';
import Point from 'ol/geom/Point.js';
import VectorLayer from 'ol/layer/Vector.js';
import type OlMap from 'ol/Map.js';
import VectorSource from 'ol/source/Vector.js';
import Circle from 'ol/style/Circle.js';
import Fill from 'ol/style/Fill.js';
import Stroke from 'ol/style/Stroke.js';
import Style from 'ol/style/Style.js';
import Text from 'ol/style/Text.js';
import { isInsideRing, polylineLengthMm, ringAreaMm2 } from '#libs/net';
import { areaText, type TermSign } from '#libs/vocabulary';
import { findingGeometry, findingStyle } from '../drawing/finding-style.js';
import type { Snapped } from '../drawing/glass-snap.js';
import { lineToMap, ringToMap, toMap, type Xy } from '../drawing/plane.js';
import { signColour } from '../drawing/sign-canvas.js';
import type { FindingDraft } from './finding-draft.js';

export interface LiveHand {
  readonly stroke: readonly Xy[] | null;
  /** width of the brush; null: no brush */
  readonly brushMm: number | null;
  readonly isTaken: boolean;
  readonly hover: Xy | null;
  readonly pull: Snapped | null;
}

const stain = '#e2a42b';

export class SketchLayer {
  readonly #map: OlMap;
  readonly #sign: TermSign;
  readonly #source = new VectorSource();
  readonly #layer: VectorLayer;

  constructor(map: OlMap, sign: TermSign) {
    this.#map = map;
    this.#sign = sign;
    this.#layer = new VectorLayer({
      source: this.#source,
      updateWhileAnimating: true,
      updateWhileInteracting: true,
      zIndex: 10,
    });
    map.addLayer(this.#layer);
  }

  draw(draft: FindingDraft, live?: LiveHand): void {
    this.#source.clear();
    this.#drawDraft(draft, live?.stroke || draft.ended ? null : (live?.hover ?? null));
    if (live) this.#drawHand(draft, live);
  }

  dispose(): void {
    this.#map.removeLayer(this.#layer);
  }

  #add(geometry: Geometry, style: Style | Style[]): void {
    const feature = new Feature({ geometry });
    feature.setStyle(style);
    this.#source.addFeature(feature);
  }

  /** @param hover where the next point would be set */
  #drawDraft({ kind, xyMm, rings }: FindingDraft, hover: Xy | null): void {
    const resolution = this.#map.getView().getResolution() ?? 1;
    const shape = { sign: this.#sign, otherFace: false };
    if (rings.length > 0) {
      const one = { kind: 'area', xyMm: rings[0]!, ...shape } as const;
      this.#add(polygons(rings), findingStyle(one, resolution, false));
    }
    if (xyMm.length === 0) return;
    const points = hover && kind !== 'point' ? [...xyMm, hover] : xyMm;
    const one = { kind, xyMm: points, ...shape };
    this.#add(findingGeometry(one), findingStyle(one, resolution, false));
    // A stroke has more points than anybody wants to see.
    for (const point of kind === 'point' || xyMm.length > 40 ? [] : xyMm)
      this.#add(new Point(toMap(point)), vertexStyle(signColour(this.#sign)));
  }

  #drawHand(draft: FindingDraft, { stroke, brushMm, isTaken, hover, pull }: LiveHand): void {
    const { kind } = draft;
    const resolution = this.#map.getView().getResolution() ?? 1;
    const colour = isTaken && kind === 'area' ? '#f3efe6' : signColour(this.#sign);
    if (stroke && stroke.length > 1) {
      const width = brushMm === null ? 2.5 : Math.max(2, brushMm / resolution);
      const style = (color: string, px: number) =>
        new Style({
          stroke: new Stroke({ color, width: px, lineCap: 'round', lineJoin: 'round' }),
        });
      const line = new LineString(lineToMap(stroke));
      this.#add(
        line,
        brushMm === null
          ? [style('#0c0d0dcc', width + 2.5), style(colour, width)]
          : style(`${colour}8c`, width),
      );
    }
    if (hover && brushMm !== null)
      this.#add(new CircleGeometry(toMap(hover), brushMm / 2), [
        new Style({ stroke: new Stroke({ color: '#0c0d0d', width: 3.5 }) }),
        new Style({ stroke: new Stroke({ color: isTaken ? '#f3efe6' : stain, width: 1.8 }) }),
      ]);
    const words = brushMm === null && hover ? liveWords(kind, draft, stroke, hover) : '';
    if (words !== '') this.#add(new Point(toMap(hover!)), wordsStyle(words));
    if (pull) this.#add(new Point(toMap(pull.xyMm)), pullStyle(pull.to));
  }
}

/** Rings of the clipper: positive outsides, negative holes in the outside that holds them. */
function polygons(rings: readonly (readonly Xy[])[]): MultiPolygon {
  const holes = rings.filter((ring) => ringAreaMm2(ring) < 0);
  return new MultiPolygon(
    rings
      .filter((ring) => ringAreaMm2(ring) > 0)
      .map((outside) => [
        ringToMap(outside),
        ...holes.filter((hole) => isInsideRing(hole[0]!, outside)).map(ringToMap),
      ]),
  );
}

/** What is measured while the hand still moves: length of the line, area inside the lasso. */
function liveWords(
  kind: FindingDraft['kind'],
  { xyMm, ended }: FindingDraft,
  stroke: readonly Xy[] | null,
  hover: Xy,
): string {
  if (kind === 'line') {
    const line = stroke ? [...(ended ? [] : xyMm), ...stroke] : ended ? [] : [...xyMm, hover];
    return line.length < 2 ? '' : `${Math.round(polylineLengthMm(line))} mm`;
  }
  const ring = stroke ?? (xyMm.length >= 2 ? [...xyMm, hover] : []);
  return kind === 'area' && ring.length > 2 ? areaText(Math.abs(ringAreaMm2(ring))) : '';
}

const wordsStyle = (words: string): Style =>
  new Style({
    text: new Text({
      text: words,
      font: '600 17px "Atkinson Hyperlegible Next Variable", sans-serif',
      offsetX: 16,
      offsetY: -18,
      textAlign: 'left',
      fill: new Fill({ color: '#101314' }),
      stroke: new Stroke({ color: '#f3efe6', width: 5 }),
    }),
  });

const vertexStyle = (colour: string): Style =>
  new Style({
    image: new Circle({
      radius: 5,
      fill: new Fill({ color: '#fff' }),
      stroke: new Stroke({ color: colour, width: 2.5 }),
    }),
  });

/** A full ring at a joint, a thin one on an edge: told apart without colour. */
const pullStyle = (to: Snapped['to']): Style[] => [
  new Style({
    image: new Circle({ radius: 10, stroke: new Stroke({ color: '#0c0d0d', width: 5 }) }),
  }),
  new Style({
    image: new Circle({
      radius: 10,
      stroke: new Stroke({
        color: stain,
        width: to === 'joint' ? 3 : 2,
        ...(to === 'joint' ? {} : { lineDash: [4, 3] }),
      }),
    }),
  }),
];
