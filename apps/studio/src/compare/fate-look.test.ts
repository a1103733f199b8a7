import {
  type Color,
  differenceCiede2000,
  filterDeficiencyDeuter,
  filterDeficiencyProt,
  filterDeficiencyTrit,
  parse,
  wcagContrast,
} from 'culori';
import { type Fate, fateLook } from './fate-look.js';

/**
 * Eyes that lack one kind of cone, as culori simulates them with the matrices of Machado, Oliveira and
 * Fernandes, "A physiologically-based model for simulation of color vision deficiency", IEEE TVCG 15(6),
 * 2009, at severity 1.
 */
const eyes: readonly (readonly [string, (colour: Color) => Color])[] = [
  ['with all cones', (colour) => colour],
  ['without long-wave cones', filterDeficiencyProt(1)],
  ['without middle-wave cones', filterDeficiencyDeuter(1)],
  ['without short-wave cones', filterDeficiencyTrit(1)],
];
/** Told apart at a glance, not only side by side (common practice, no source). */
const leastDeltaE00 = 10;

const fates = Object.keys(fateLook) as Fate[];
const strokeOf = (fate: Fate) => JSON.stringify([fateLook[fate].dashMm, fateLook[fate].isThin]);
const pairs = fates.flatMap((a, i) => fates.slice(i + 1).map((b) => [a, b] as const));

describe('the key to two drawings laid over each other', () => {
  it.each(eyes)('is told apart by eyes %s, or by its stroke', (_, seen) => {
    const difference: (a: Color, b: Color) => number = differenceCiede2000();
    const mixedUp = pairs.filter(([a, b]) => {
      const shown = (fate: Fate): Color => seen(parse(fateLook[fate].colour)!);
      return strokeOf(a) === strokeOf(b) && difference(shown(a), shown(b)) < leastDeltaE00;
    });
    expect(mixedUp).toEqual([]);
  });

  it('stands out from the dark table by 3 : 1 (WCAG 2.2, 1.4.11)', () => {
    const table = '#171b1d';
    expect(fates.filter((fate) => wcagContrast(fateLook[fate].colour, table) < 3)).toEqual([]);
  });
});
