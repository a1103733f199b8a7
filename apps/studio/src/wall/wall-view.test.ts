import View from 'ol/View.js';
import { planeProjection } from '../drawing/plane-map.js';
import { airAround, resolutions, viewAt, viewOfBox } from './wall-view.js';

const box = { minX: -300, minY: -1200, maxX: 3420, maxY: 16_500 };

// Reference: the map engine, which flies to the same box with the same air.
describe('the view of a box', () => {
  it.each([
    [1028, 660],
    [390, 520],
    [2400, 300],
  ])('is the one that the map will have, on %i × %i px', (width, height) => {
    const view = new View({
      projection: planeProjection,
      center: [0, 0],
      resolution: 1,
      ...resolutions,
    });
    view.fit([box.minX, -box.maxY, box.maxX, -box.minY], {
      size: [width, height],
      padding: [...airAround(width)],
    });
    const [x = 0, y = 0] = view.getCenter()!;
    const k = 1 / view.getResolution()!;
    const first = viewOfBox(box, { width, height });
    expect(first.k).toBeCloseTo(k, 9);
    expect(first.tx).toBeCloseTo(width / 2 - x * k, 6);
    expect(first.ty).toBeCloseTo(height / 2 + y * k, 6);
  });

  it('of a link has its middle in the middle', () => {
    const { k, tx, ty } = viewAt({ xMm: 700, yMm: 900, k: 0.5 }, { width: 800, height: 600 });
    expect([700 * k + tx, 900 * k + ty]).toEqual([400, 300]);
  });
});
