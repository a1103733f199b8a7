import { barBays } from './bar-bays.js';

const rectangular = (widthMm: number, heightMm: number) => ({
  kind: 'rectangular' as const,
  widthMm,
  heightMm,
});
const light = (letter: string, xMm: number, opening: ReturnType<typeof rectangular>) => ({
  letter,
  xMm,
  yMm: 0,
  opening,
  rowHeightsMm: [opening.heightMm],
});
const bar = (n: number, yMm: number, fromXMm = 0, toXMm = 1100) => ({
  mark: `bar-${n}`,
  yMm,
  fromXMm,
  toXMm,
});

it('goes over the mullion from light to light and takes half of each bay', () => {
  const lights = [light('a', 0, rectangular(500, 900)), light('b', 600, rectangular(500, 900))];
  // common practice, no source: 900 mm with bars every 300 mm has two bars and three bays
  expect(barBays({ lights, bars: [bar(1, 600), bar(2, 300)] })).toEqual([
    { mark: 'bar-1', spansMm: [500, 500], tributaryMm: 300 },
    { mark: 'bar-2', spansMm: [500, 500], tributaryMm: 300 },
  ]);
});

it('holds up to the head and down to the sill where no other bar is', () => {
  const lights = [light('a', 0, rectangular(500, 1000))];
  expect(barBays({ lights, bars: [bar(1, 700)] })[0]!.tributaryMm).toBe(500);
});

it('is as long as the arch is wide where it lies', () => {
  const head = { kind: 'round-headed' as const, widthMm: 600, heightMm: 900 };
  const lights = [{ letter: 'a', xMm: 100, yMm: 50, opening: head, rowHeightsMm: [900] }];
  // 150 mm above the springing of a half circle of radius 300: 2 √(300² − 150²)
  const [found] = barBays({ lights, bars: [bar(1, 50 + 300 - 150)] });
  expect(found!.spansMm[0]).toBeCloseTo(2 * Math.sqrt(300 ** 2 - 150 ** 2), 0);
});

it('holds nothing beside the lights', () => {
  const lights = [light('a', 0, rectangular(500, 900))];
  expect(barBays({ lights, bars: [bar(1, 300, 520, 580), bar(2, 950)] })).toEqual([
    { mark: 'bar-1', spansMm: [], tributaryMm: 0 },
    { mark: 'bar-2', spansMm: [], tributaryMm: 0 },
  ]);
});
