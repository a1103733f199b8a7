/** Which layers of a file hold the leads. */
import { CartoonError, type CartoonLayer } from './cartoon.js';
import { kindOfName, type RawLine } from './raw-line.js';

export interface LayerChoice {
  readonly leads: ReadonlySet<string>;
  /** Layers that may hold the panel's edge, when the leads alone do not close. */
  readonly edges: ReadonlySet<string>;
}

const EDGE_WORDS = / (outline|border|edge|frame|contour|boundary) /;
const OTHER_WORDS =
  / (sight|glass|cut|number|numbers|text|note|notes|dim|dimension|dimensions|guide|guides|scale|check|legend|title|hatch|defpoints|construction) /;

/**
 * By their names in trade terms, else all but those that name something else.
 *
 * @throws {CartoonError} `no-lines` when a layer that was asked for has none
 */
export function chooseLayers(
  lines: readonly RawLine[],
  wanted: readonly string[] | undefined,
): LayerChoice {
  const names = [...new Set(lines.map(({ layer }) => layer))];
  if (wanted !== undefined) {
    const missing = wanted.find((name) => !names.includes(name));
    if (missing !== undefined) {
      throw new CartoonError(
        'no-lines',
        `There are no lines on a layer called ${missing}. Lines lie on: ${names.map(shown).join(', ')}.`,
      );
    }
    return { leads: new Set(wanted), edges: new Set() };
  }
  const words = (name: string) => ` ${name.toLowerCase().replace(/[^a-z]+/g, ' ')} `;
  const named = new Set([
    ...names.filter((name) => kindOfName(name) !== null),
    // a shape's own class or kind counts where its layer says nothing
    ...lines.filter(({ kind }) => kind !== null).map(({ layer }) => layer),
  ]);
  const edges = new Set(names.filter((name) => EDGE_WORDS.test(words(name)) && !named.has(name)));
  if (named.size > 0) return { leads: named, edges };
  const rest = names.filter((name) => !OTHER_WORDS.test(words(name)));
  return { leads: new Set(rest.length === 0 ? names : rest), edges: new Set() };
}

/** Every layer with how many lines it has and whether they were taken. */
export function layersOf(
  lines: readonly RawLine[],
  used: ReadonlySet<string>,
): readonly CartoonLayer[] {
  const counts = new Map<string, number>();
  for (const { layer } of lines) counts.set(layer, (counts.get(layer) ?? 0) + 1);
  return [...counts].map(([name, n]) => ({ name, lines: n, isUsed: used.has(name) }));
}

export function shown(name: string): string {
  return name === '' ? 'no layer' : name;
}
