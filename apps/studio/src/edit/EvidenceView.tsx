import type Layer from 'ol/layer/Layer.js';
import OlMap from 'ol/Map.js';
import View from 'ol/View.js';
import { useEffect, useRef } from 'react';
import { toMap, type Xy } from '../drawing/plane.js';
import { planeProjection } from '../drawing/plane-map.js';
import { say } from '../platform/language/say.js';

/** The wax alone at the place that is asked about, beside the drawing over it. */
export function EvidenceView({
  make,
  xyMm,
  radiusMm,
}: {
  /** makes a layer of the picture */
  make: () => Layer;
  xyMm: Xy;
  radiusMm: number;
}) {
  const target = useRef<HTMLDivElement>(null);
  const map = useRef<OlMap>(null);
  useEffect(() => {
    if (!target.current) return;
    const made = new OlMap({
      target: target.current,
      controls: [],
      interactions: [],
      layers: [make()],
      view: new View({
        projection: planeProjection,
        center: [0, 0],
        resolution: 1,
        minResolution: 1e-3,
        maxResolution: 1e3,
        enableRotation: false,
      }),
    });
    map.current = made;
    return () => {
      map.current = null;
      made.setTarget(undefined);
      made.dispose();
    };
  }, [make]);
  const [x, y] = xyMm;
  useEffect(() => {
    const view = map.current?.getView();
    const [width = 150] = map.current?.getSize() ?? [];
    view?.setCenter(toMap([x, y]));
    view?.setResolution((2 * Math.max(14, radiusMm)) / width);
  }, [make, x, y, radiusMm]);
  return (
    <figure className="evidence">
      <div ref={target} role="img" aria-label={say('The picture alone at this place')} />
      <figcaption>{say('the wax alone')}</figcaption>
    </figure>
  );
}
