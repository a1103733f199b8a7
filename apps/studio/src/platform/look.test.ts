import { readFileSync } from 'node:fs';

const css = readFileSync(new URL('tokens.css', import.meta.url), 'utf8').replace(
  /\/\*[\s\S]*?\*\//g,
  '',
);
/** What each rule of the sheet sets, in the sheet's order. */
const rules = [...css.matchAll(/([^{}]+)\{([^}]*)\}/g)].map(([, selectors, body]) => ({
  selectors: selectors!.split(',').map((one) => one.trim()),
  set: [...body!.matchAll(/--([a-z-]+): (#[0-9a-f]{6})(?:[0-9a-f]{2})?;/g)].map(
    ([, name, value]) => [name!, value!] as const,
  ),
}));

/**
 * Where words stand: each ground, and the light table's drawing in its dark room. The rules that reach
 * a place, by the cascade of CSS: those of the root, then those of the place itself.
 */
const places = {
  dark: [[':root'], []],
  light: [[':root', ':root[data-ground="light"]'], []],
  'light table': [[':root', ':root[data-ground="light-table"]'], []],
  'the drawing on the light table': [
    [':root', ':root[data-ground="light-table"]'],
    [':root[data-ground="light-table"] .drawing'],
  ],
} as const;
type Place = keyof typeof places;
const names = Object.keys(places) as Place[];

function tokensOf(place: Place): ReadonlyMap<string, string> {
  const tokens = new Map<string, string>();
  for (const reach of places[place])
    for (const { selectors, set } of rules)
      if (selectors.some((one) => (reach as readonly string[]).includes(one)))
        for (const [name, value] of set) tokens.set(name, value);
  return tokens;
}

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

  const readable = [
    ['ink', 'ground'],
    ['ink', 'ground-lit'],
    ['ink', 'well'],
    ['ink', 'veil'],
    ['ink-quiet', 'ground'],
    ['ink-quiet', 'ground-lit'],
    ['ink-quiet', 'well'],
    ['ink-quiet', 'veil'],
    ['paper-ink', 'paper'],
    ['paper-ink', 'paper-lit'],
    ['paper-ink', 'paper-field'],
    ['paper-ink', 'paper-edge'],
    ['paper-quiet', 'paper'],
    ['paper-quiet', 'paper-lit'],
    ['paper-quiet', 'paper-field'],
    ['stain-ink', 'stain'],
    ['stain-ink', 'stain-lit'],
    ['stain-word', 'ground'],
    ['stain-word', 'well'],
    ['stain-word', 'veil'],
    ['stain-on-paper', 'paper'],
    ['kept', 'paper'],
    ['kept-on-ground', 'ground'],
    ['kept-on-ground', 'veil'],
    ['refused-on-ground', 'ground'],
    ['refused-on-ground', 'veil'],
    ['warn', 'paper'],
    ['table-ink', 'table'],
    ['table-quiet', 'table'],
    ['table-unlit-ink', 'table-unlit'],
  ] as const;
  it.each(names.flatMap((place) => readable.map(([ink, ground]) => [place, ink, ground] as const)))(
    'in %s: %s on %s is 4.5 : 1 or more',
    (place, ink, ground) => {
      const tokens = tokensOf(place);
      expect(contrast(tokens.get(ink)!, tokens.get(ground)!)).toBeGreaterThanOrEqual(4.5);
    },
  );

  // WCAG 2.2, 1.4.11: what shows a control, its focus or a part of a drawing.
  const seen = [
    ['edge', 'ground'],
    ['edge', 'well'],
    ['focus', 'ground'],
    ['focus', 'veil'],
    ['paper-rule', 'paper'],
    ['stain-on-paper', 'paper'],
    ['table-stone', 'table'],
    ['table-bar', 'table'],
    ['table-opening-edge', 'table'],
    ['table-choice', 'table'],
  ] as const;
  it.each(names.flatMap((place) => seen.map(([line, ground]) => [place, line, ground] as const)))(
    'in %s: %s on %s is 3 : 1 or more',
    (place, line, ground) => {
      const tokens = tokensOf(place);
      expect(contrast(tokens.get(line)!, tokens.get(ground)!)).toBeGreaterThanOrEqual(3);
    },
  );
});
