/**
 * The palette as others see it: deficiencies simulated by culori (after Machado, Oliveira and Fernandes, A
 * Physiologically-based Model for Simulation of Color Vision Deficiency, 2009), differences by CIEDE2000
 * (CIE 142-2001, ISO/CIE 11664-6), both by that library and not by ours.
 */
import {
  type Color,
  differenceCiede2000,
  filterDeficiencyDeuter,
  filterDeficiencyProt,
  filterDeficiencyTrit,
  parse,
} from 'culori';
import { type ColourName, inkOf, OKABE_ITO } from './colours.js';

/** One is just seen side by side; ten is told apart at a glance: common practice, no source. */
const AT_A_GLANCE = 10;
const names = Object.keys(OKABE_ITO) as ColourName[];
const difference = differenceCiede2000();

const eyes: readonly (readonly [string, (colour: Color) => Color])[] = [
  ['any common colour vision', (colour: Color) => colour],
  ['deuteranopia', filterDeficiencyDeuter(1)],
  ['protanopia', filterDeficiencyProt(1)],
  ['tritanopia', filterDeficiencyTrit(1)],
];

describe('the palette of findings', () => {
  it.each(eyes)('is told apart, every pair, with %s', (_, seen) => {
    const close = names.flatMap((a, i) =>
      names
        .slice(i + 1)
        .map((b) => ({
          pair: `${a}, ${b}`,
          off: difference(seen(parse(OKABE_ITO[a])!), seen(parse(OKABE_ITO[b])!)),
        }))
        .filter(({ off }) => off < AT_A_GLANCE),
    );
    expect(close).toEqual([]);
  });

  it('loses pairs when its red and green are those of a traffic light: the measure can fail', () => {
    const seen = filterDeficiencyDeuter(1);
    expect(difference(seen(parse('#b0602a')!), seen(parse('#7a7a2a')!))).toBeLessThan(AT_A_GLANCE);
  });

  it('is drawn on paper in an ink that is not pale', () => {
    // Thin strokes in a pale ink are lost on paper; 30 is three times what is seen at a glance.
    for (const name of names)
      expect(difference(parse(inkOf(name).ink)!, parse('#ffffff')!)).toBeGreaterThan(30);
  });
});
