import { openDrawing, placeJoints } from './edit/index.js';
import { builtAfter, quarries as net } from './edit/quarries.fixture.js';
import { overlapsOf } from './overlap.js';

describe('which pieces share glass', () => {
  it('is each with itself in the same drawing', () => {
    const pairs = overlapsOf(net.pieces, net.pieces);
    expect(pairs).toHaveLength(net.pieces.length);
    expect(pairs.every(({ before, after, iou }) => before === after && iou === 1)).toBe(true);
  });

  it('is, round a joint that moved, by the area that went over', () => {
    const drawing = openDrawing(net);
    const [jointId, [x, y]] = [...drawing.joints].find(
      ([, place]) => place[0] === 100 && place[1] === 60,
    )!;
    const moved = placeJoints(drawing, new Map([[jointId, [x + 10, y] as const]]));
    const later = builtAfter(moved, net);
    const pairs = overlapsOf(net.pieces, later.pieces);
    // The quarry left of the joint grows by two triangles of 10 × 60 / 2 mm, the one right of it shrinks.
    const grown = pairs.filter(({ ofBefore, ofAfter }) => ofBefore > 0.999 && ofAfter < 0.95);
    expect(grown).toHaveLength(1);
    expect(grown[0]!.ofAfter).toBeCloseTo(6000 / 6600, 3);
    const shrunk = pairs.filter(({ ofBefore, ofAfter }) => ofAfter > 0.999 && ofBefore < 0.95);
    expect(shrunk).toHaveLength(1);
    expect(shrunk[0]!.ofBefore).toBeCloseTo(5400 / 6000, 3);
  });
});
