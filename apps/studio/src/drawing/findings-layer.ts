import Feature, { type FeatureLike } from 'ol/Feature.js';
import type Geometry from 'ol/geom/Geometry.js';
import LineString from 'ol/geom/LineString.js';
import Point from 'ol/geom/Point.js';
import Polygon from 'ol/geom/Polygon.js';
import VectorLayer from 'ol/layer/Vector.js';
import VectorSource from 'ol/source/Vector.js';
import Circle from 'ol/style/Circle.js';
import Fill from 'ol/style/Fill.js';
import Stroke from 'ol/style/Stroke.js';
import Style from 'ol/style/Style.js';
import { type HatchLook, hatchFill } from './hatch.js';
import { lineToMap, toMap, type Xy } from './plane.js';

export interface DrawnFinding {
  readonly findingId: string;
  readonly kind: 'point' | 'line' | 'area';
  readonly xyMm: readonly Xy[];
  readonly look: HatchLook;
  /** traced on the other face: drawn dashed */
  readonly otherFace: boolean;
}

/** Findings as geometry over the lead drawing. */
export class FindingsLayer {
  readonly layer: VectorLayer;
  readonly #source = new VectorSource();
  #selected: string | null = null;

  constructor() {
    this.layer = new VectorLayer({
      source: this.#source,
      style: (feature) => this.#style(feature),
      updateWhileAnimating: true,
      updateWhileInteracting: true,
    });
  }

  set(findings: readonly DrawnFinding[]): void {
    this.#source.clear();
    this.#source.addFeatures(
      findings.map((finding) => new Feature({ geometry: geometryOf(finding), finding })),
    );
  }

  select(findingId: string | null): void {
    this.#selected = findingId;
    this.layer.changed();
  }

  #style(feature: FeatureLike): Style[] {
    const finding = feature.get('finding') as DrawnFinding;
    return findingStyle(finding, finding.findingId === this.#selected);
  }
}

export function geometryOf({ kind, xyMm }: Pick<DrawnFinding, 'kind' | 'xyMm'>): Geometry {
  if (kind === 'point' || xyMm.length === 1) return new Point(toMap(xyMm[0] ?? [0, 0]));
  if (kind === 'line' || xyMm.length === 2) return new LineString(lineToMap(xyMm));
  return new Polygon([lineToMap(xyMm)]);
}

export function findingStyle(
  { kind, xyMm, look, otherFace }: Omit<DrawnFinding, 'findingId'>,
  selected: boolean,
): Style[] {
  const dash = otherFace ? { lineDash: [7, 5] } : {};
  const casing = new Stroke({ color: selected ? '#e2a42b' : '#fffc', width: selected ? 8 : 5.5 });
  const line = new Stroke({ color: look.colour, width: 3, lineCap: 'round', ...dash });
  if (kind === 'point' || xyMm.length === 1)
    return [
      new Style({ image: new Circle({ radius: 12, stroke: casing }) }),
      new Style({
        image: new Circle({
          radius: 12,
          stroke: line,
          fill: new Fill({ color: `${look.colour}33` }),
        }),
      }),
    ];
  const area = kind === 'area' && xyMm.length > 2;
  return [
    new Style({ stroke: casing }),
    new Style({
      stroke: area ? new Stroke({ color: look.colour, width: 2, ...dash }) : line,
      ...(area ? { fill: new Fill({ color: hatchFill(look) }) } : {}),
    }),
  ];
}
