import Feature from 'ol/Feature.js';
import Point from 'ol/geom/Point.js';
import VectorLayer from 'ol/layer/Vector.js';
import VectorSource from 'ol/source/Vector.js';
import Circle from 'ol/style/Circle.js';
import Fill from 'ol/style/Fill.js';
import Stroke from 'ol/style/Stroke.js';
import Style from 'ol/style/Style.js';
import Text from 'ol/style/Text.js';
import { toMap, type Xy } from './plane.js';

/** A place of a drawing to look at. */
export interface NotedPlace {
  readonly key: string;
  readonly xyMm: Xy;
  readonly words: string;
}

/** More rings than this would hide the drawing: they are drawn small. */
const mostLarge = 14;

/** A ring at every place; the chosen one is larger and has its words. */
export function placesLayer(
  places: readonly NotedPlace[],
  chosen: () => string | null,
): VectorLayer {
  const radiusPx = places.length > mostLarge ? 5 : 12;
  return new VectorLayer({
    source: new VectorSource({
      features: places.map(
        ({ key, xyMm, words }) => new Feature({ geometry: new Point(toMap(xyMm)), key, words }),
      ),
    }),
    style: (feature) =>
      ringStyle(feature.get('words') as string, feature.get('key') === chosen(), radiusPx),
    updateWhileAnimating: true,
    updateWhileInteracting: true,
  });
}

function ringStyle(words: string, isChosen: boolean, radiusPx: number): Style[] {
  const ring = (color: string, width: number) =>
    new Style({
      image: new Circle({
        radius: isChosen ? 17 : radiusPx,
        stroke: new Stroke({ color, width }),
      }),
    });
  return [
    ring('#0b0d0e', isChosen ? 7 : 5),
    ring(isChosen ? '#ffffff' : '#e2a42b', isChosen ? 3.5 : 2),
    ...(isChosen
      ? [
          new Style({
            text: new Text({
              text: words,
              offsetY: -30,
              font: '600 16px "Atkinson Hyperlegible Next Variable", sans-serif',
              fill: new Fill({ color: '#101314' }),
              backgroundFill: new Fill({ color: '#ffffff' }),
              padding: [3, 7, 2, 7],
            }),
          }),
        ]
      : []),
  ];
}
