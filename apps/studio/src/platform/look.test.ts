import { readFileSync } from 'node:fs';

const css = readFileSync(new URL('look.css', import.meta.url), 'utf8');
const tokens = new Map(
  [...css.matchAll(/--([a-z-]+): (#[0-9a-f]{6});/g)].map(([, name, value]) => [name!, value!]),
);

/** Relative luminance and contrast ratio as WCAG 2.2 defines them (§ "relative luminance"). */
function luminance(hex: string): number {
  const [r, g, b] = [1, 3, 5]
    .map((at) => Number.parseInt(hex.slice(at, at + 2), 16) / 255)
    .map((v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4));
  return 0.2126 * r! + 0.7152 * g! + 0.0722 * b!;
}
function contrast(a: string, b: string): number {
  const [dark, light] = [luminance(a), luminance(b)].sort((x, y) => x - y);
  return (light! + 0.05) / (dark! + 0.05);
}

describe('contrast', () => {
  it('is 21 : 1 between black and white, as WCAG says', () => {
    expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 6);
  });

  it.each([
    ['ink', 'ground'],
    ['ink', 'ground-lit'],
    ['ink', 'well'],
    ['ink-quiet', 'ground'],
    ['ink-quiet', 'ground-lit'],
    ['ink-quiet', 'well'],
    ['paper-ink', 'paper'],
    ['paper-quiet', 'paper'],
    ['stain-ink', 'stain'],
    ['stain', 'ground'],
    ['stain-on-paper', 'paper'],
    ['kept', 'paper'],
    ['kept-on-ground', 'ground'],
    ['warn', 'paper'],
  ])('of %s on %s is 4.5 : 1 or more', (ink, ground) => {
    expect(contrast(tokens.get(ink)!, tokens.get(ground)!)).toBeGreaterThanOrEqual(4.5);
  });
});
