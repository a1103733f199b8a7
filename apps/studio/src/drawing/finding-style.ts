import CircleGeometry from 'ol/geom/Circle.js';
import type Geometry from 'ol/geom/Geometry.js';
import LineString from 'ol/geom/LineString.js';
import MultiLineString from 'ol/geom/MultiLineString.js';
import Point from 'ol/geom/Point.js';
import Polygon from 'ol/geom/Polygon.js';
import Circle from 'ol/style/Circle.js';
import Fill from 'ol/style/Fill.js';
import Stroke from 'ol/style/Stroke.js';
import Style from 'ol/style/Style.js';
import { lineMarks, type TermSign } from '#libs/vocabulary';
import { lineToMap, ringToMap, toMap, type Xy } from './plane.js';
import { areaFill, lineStroke, pointShape, pxPerPaperMm, signColour } from './sign-canvas.js';

export interface FindingShape {
  readonly kind: 'point' | 'line' | 'area';
  readonly xyMm: readonly Xy[];
  readonly sign: TermSign;
  /** seen on the face that the drawing does not show: drawn with gaps */
  readonly otherFace: boolean;
}

export function findingGeometry({ kind, xyMm }: Pick<FindingShape, 'kind' | 'xyMm'>): Geometry {
  if (kind === 'point' || xyMm.length === 1) return new Point(toMap(xyMm[0] ?? [0, 0]));
  if (kind === 'line' || xyMm.length === 2) return new LineString(lineToMap(xyMm));
  return new Polygon([ringToMap(xyMm)]);
}

const stain = '#e2a42b';

/** @param resolution panel mm per px: signs keep their size on the screen */
export function findingStyle(shape: FindingShape, resolution: number, selected: boolean): Style[] {
  const { kind, xyMm, sign } = shape;
  const colour = signColour(sign);
  const casing = (width: number) =>
    new Stroke({ color: selected ? stain : '#fffffff0', width: selected ? width + 3.5 : width });
  if (kind === 'point' || xyMm.length === 1) return pointStyle(shape, resolution, selected);
  if (kind === 'area' && xyMm.length > 2)
    return [
      new Style({ stroke: casing(5) }),
      new Style({
        fill: new Fill({ color: areaFill(sign) }),
        stroke: new Stroke({ color: colour, width: 2, ...gaps(shape) }),
      }),
    ];
  const stroke = lineStroke(sign);
  const scale = resolution * pxPerPaperMm;
  const widthPx = Math.max(2.4, stroke.strokeMm * pxPerPaperMm);
  const paperLine = xyMm.map(([x, y]): Xy => [x / scale, y / scale]);
  const marks = lineMarks(stroke, paperLine).map((line) =>
    lineToMap(line.map(([x, y]): Xy => [x * scale, y * scale])),
  );
  const dash =
    stroke.dashMm.length > 0
      ? { lineDash: stroke.dashMm.map((mm) => mm * pxPerPaperMm) }
      : gaps(shape);
  return [
    new Style({ stroke: casing(widthPx + 3) }),
    new Style({
      stroke: new Stroke({
        color: colour,
        width: widthPx,
        lineCap: 'butt',
        lineJoin: 'round',
        ...dash,
      }),
    }),
    ...(marks.length > 0
      ? [
          new Style({
            geometry: new MultiLineString(marks),
            stroke: new Stroke({ color: colour, width: 2 }),
          }),
        ]
      : []),
  ];
}

const gaps = ({ otherFace }: FindingShape) => (otherFace ? { lineDash: [7, 5] } : {});

function pointStyle({ xyMm, sign }: FindingShape, resolution: number, selected: boolean): Style[] {
  const colour = signColour(sign);
  const shape = pointShape(sign);
  const scale = resolution * pxPerPaperMm * 1.5;
  const styles = [
    new Style({
      image: new Circle({
        radius: 13,
        fill: new Fill({ color: '#ffffffe0' }),
        stroke: new Stroke({ color: selected ? stain : colour, width: selected ? 4 : 1.5 }),
      }),
    }),
  ];
  const ink = {
    stroke: new Stroke({ color: colour, width: 2.2 }),
    ...(shape.isFilled ? { fill: new Fill({ color: colour }) } : {}),
  };
  for (const [x, y] of xyMm) {
    const lines = shape.lines.map((line) =>
      lineToMap(line.map(([dx, dy]): Xy => [x + dx * scale, y + dy * scale])),
    );
    for (const line of lines)
      styles.push(
        new Style({
          geometry: shape.isFilled ? new Polygon([line]) : new LineString(line),
          ...ink,
        }),
      );
    for (const [dx, dy, r] of shape.rings)
      styles.push(
        new Style({
          geometry: new CircleGeometry(toMap([x + dx * scale, y + dy * scale]), r * scale),
          ...ink,
        }),
      );
  }
  return styles;
}
