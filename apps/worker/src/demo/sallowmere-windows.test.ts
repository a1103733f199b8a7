import { checkWindowDrawing, openingRingMm, openingSizeMm, panelGrid } from '#libs/elevation';
import { SALLOWMERE_WINDOWS } from './sallowmere-windows.js';

const named = SALLOWMERE_WINDOWS.map((window) => [window.mark, window] as const);

describe('the windows of Sallowmere Chapel', () => {
  it.each(named)('%s can be drawn', (_mark, { drawing }) => {
    expect(() => {
      checkWindowDrawing(drawing);
    }).not.toThrow();
  });

  it('has 150 panels in the west window, 38 of them tracery, 15.2 m tall', () => {
    const west = SALLOWMERE_WINDOWS.find(({ mark }) => mark === 'wI')!.drawing;
    const panels = panelGrid(west);
    expect(panels).toHaveLength(150);
    expect(panels.filter(({ mark }) => /^[A-Z]/.test(mark))).toHaveLength(38);
    expect(openingSizeMm(west.opening).heightMm).toBe(15_200);
  });

  it.each(named)(
    '%s keeps every light and tracery opening inside its opening',
    (_mark, { drawing }) => {
      const outline = openingRingMm(drawing.opening);
      for (const place of [...drawing.lights, ...drawing.tracery]) {
        for (const [x, y] of openingRingMm(place.opening)) {
          const p = [x + place.xMm, y + place.yMm] as const;
          expect({ p, inside: isWithin(p, outline, 1) }).toEqual({ p, inside: true });
        }
      }
    },
  );

  it.each(named)('%s has no two tracery openings that overlap', (_mark, { drawing }) => {
    const rings = drawing.tracery.map(({ xMm, yMm, opening }) =>
      openingRingMm(opening).map(([x, y]) => [x + xMm, y + yMm] as const),
    );
    rings.forEach((ring, i) => {
      for (const other of rings.slice(i + 1)) {
        expect(ring.some((p) => isWithin(p, other, 0))).toBe(false);
      }
    });
  });
});

/** Even-odd test, with a rim of `slackMm` counted as inside. */
function isWithin(
  [x, y]: readonly [number, number],
  ring: readonly (readonly [number, number])[],
  slackMm: number,
): boolean {
  let inside = false;
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
    const [ax, ay] = ring[i]!;
    const [bx, by] = ring[j]!;
    if (ay > y !== by > y && x < ((bx - ax) * (y - ay)) / (by - ay) + ax) inside = !inside;
    const t = Math.max(
      0,
      Math.min(
        1,
        ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / ((bx - ax) ** 2 + (by - ay) ** 2),
      ),
    );
    if (slackMm > 0 && Math.hypot(x - ax - t * (bx - ax), y - ay - t * (by - ay)) <= slackMm)
      return true;
  }
  return inside;
}
