import type { Media } from '../platform/api/media.js';
import { hourAt, lampsOf, nearestLamp, type SheetPlan, seenSheets } from './sheets.js';

const plan: SheetPlan = {
  under: 'a',
  over: 'b',
  way: 'fade',
  ratio: 0.25,
  strength: 0.8,
  isHeld: false,
};

describe('sheets that lie on each other', () => {
  it('fade from the first into the second', () => {
    expect(seenSheets(plan)).toEqual([
      { mediaId: 'a', opacity: 0.8, part: [0, 1] },
      { mediaId: 'b', opacity: 0.2, part: [0, 1] },
    ]);
  });

  it('share the screen at the dividing line, which leaves no gap', () => {
    const [left, right] = seenSheets({ ...plan, way: 'swipe' });
    expect(left).toEqual({ mediaId: 'a', opacity: 0.8, part: [0, 0.25] });
    expect(right).toEqual({ mediaId: 'b', opacity: 0.8, part: [0.25, 1] });
  });

  it.each(['fade', 'swipe', 'blink'] as const)(
    'show the other alone and whole while it is held: %s',
    (way) => {
      const seen = seenSheets({ ...plan, way, isHeld: true }).filter(({ opacity }) => opacity > 0);
      expect(seen).toEqual([{ mediaId: 'b', opacity: 0.8, part: [0, 1] }]);
    },
  );

  it('keep the other ready while one blinks', () => {
    expect(seenSheets({ ...plan, way: 'blink' })).toEqual([
      { mediaId: 'a', opacity: 0.8, part: [0, 1] },
      { mediaId: 'b', opacity: 0, part: [0, 1] },
    ]);
  });

  it('are one sheet when there is no second, and none when there is none', () => {
    expect(seenSheets({ ...plan, over: null })).toHaveLength(1);
    expect(seenSheets({ ...plan, over: 'a' })).toHaveLength(1);
    expect(seenSheets({ ...plan, under: null, over: null })).toEqual([]);
  });
});

describe('the lamp', () => {
  const raking = (mediaId: string, clockHour: number, face: Media['face'] = 'inside') =>
    ({ mediaId, face, light: { kind: 'raking', clockHour } }) as unknown as Media;

  it('changes sides with a picture of the other face, and stays at twelve and six', () => {
    // product.md: from outside, left and right swap.
    const seen = [3, 12, 6, 10].map(
      (hour) => lampsOf([raking('x', hour, 'outside')], 'inside')[0]!.clockHour,
    );
    expect(seen).toEqual([9, 12, 6, 2]);
    expect(lampsOf([raking('x', 3)], 'inside')[0]!.clockHour).toBe(3);
  });

  it('is the nearest one round the clock', () => {
    const lamps = lampsOf([raking('nine', 9), raking('one', 1), raking('four', 4)], 'inside');
    expect(lamps.map(({ mediaId }) => mediaId)).toEqual(['one', 'four', 'nine']);
    expect(nearestLamp(lamps, 11.4)?.mediaId).toBe('one');
    expect(nearestLamp(lamps, 7)?.mediaId).toBe('nine');
    expect(nearestLamp(lamps, 2.4)?.mediaId).toBe('one');
    expect(nearestLamp([], 3)).toBeUndefined();
  });

  it('stands where the hand points', () => {
    // Directions of the hours on a clock: common practice, no source.
    expect(hourAt(0, -1)).toBeCloseTo(12);
    expect(hourAt(1, 0)).toBeCloseTo(3);
    expect(hourAt(0, 1)).toBeCloseTo(6);
    expect(hourAt(-1, 0)).toBeCloseTo(9);
    expect(hourAt(-1, -Math.sqrt(3))).toBeCloseTo(11);
  });
});
