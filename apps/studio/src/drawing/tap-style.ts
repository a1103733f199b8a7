/** How marks and measured lengths look on a tap board. */
import type { FeatureLike } from 'ol/Feature.js';
import LineString from 'ol/geom/LineString.js';
import Circle from 'ol/style/Circle.js';
import Fill from 'ol/style/Fill.js';
import RegularShape from 'ol/style/RegularShape.js';
import Stroke from 'ol/style/Stroke.js';
import Style from 'ol/style/Style.js';
import Text from 'ol/style/Text.js';

const font = '600 17px "Atkinson Hyperlegible Next Variable", sans-serif';
const warn = '#ff7a4d';

/** A measured length: dashed, with its words along it. */
export function lineStyle(feature: FeatureLike): Style[] {
  const isWorst = feature.get('worst') as boolean;
  const colour = isWorst ? warn : '#ffffff';
  return [
    new Style({ stroke: new Stroke({ color: '#000b', width: 4 }) }),
    new Style({ stroke: new Stroke({ color: colour, width: 1.5, lineDash: [7, 5] }) }),
    new Style({
      geometry: partForWords(feature),
      text: new Text({
        text: feature.get('words') as string,
        placement: 'line',
        overflow: true,
        font: font.replace('17px', '15px'),
        fill: new Fill({ color: colour }),
        stroke: new Stroke({ color: '#000c', width: 4 }),
      }),
    }),
  ];
}

/** Words stand before the middle, where the other diagonal crosses. */
function partForWords(feature: FeatureLike): LineString {
  const line = feature.getGeometry() as LineString;
  return new LineString([line.getCoordinateAt(0.16), line.getCoordinateAt(0.56)]);
}

/** A mark: a cross in a ring, its name beside it. */
export function markStyle(feature: FeatureLike): Style[] {
  const active = feature.get('active') as boolean;
  const colour = (feature.get('worst') as boolean) ? warn : active ? '#e2a42b' : '#ffffff';
  const cross = (color: string, width: number) =>
    new Style({
      image: new RegularShape({
        points: 4,
        radius: 13,
        radius2: 0,
        angle: 0,
        stroke: new Stroke({ color, width }),
      }),
    });
  return [
    cross('#000c', 4.5),
    cross(colour, 1.6),
    new Style({
      image: new Circle({
        radius: 15,
        stroke: new Stroke({ color: '#000c', width: active ? 6 : 4.5 }),
      }),
    }),
    new Style({
      image: new Circle({
        radius: 15,
        stroke: new Stroke({ color: colour, width: active ? 3 : 1.8 }),
      }),
      text: new Text({
        text: feature.get('name') as string,
        offsetX: 18,
        offsetY: -19,
        textAlign: 'left',
        font,
        fill: new Fill({ color: '#101314' }),
        backgroundFill: new Fill({ color: colour }),
        padding: [1, 5, 0, 5],
      }),
    }),
  ];
}
