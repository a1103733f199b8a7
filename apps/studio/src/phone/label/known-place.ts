/** From what a label's code says, or a person types, to a panel that this phone knows. */
import type { KnownPanels } from '../remembered.js';

type Site = KnownPanels['sites'][number];

export interface KnownPlace {
  readonly site: Site;
  readonly window: Site['windows'][number];
  /** full mark of the panel */
  readonly panel: string;
  /** number of the piece in it; empty: the panel as a whole */
  readonly piece: string;
}

/** What a person typed fits several panels. */
export class Ambiguous extends Error {
  override readonly name = 'Ambiguous';
  constructor(readonly panels: readonly string[]) {
    super(panels.join(', '));
  }
}

/** Marks that a label's code names: one of a panel or a piece, those of all that lies in a crate. */
export function marksOnLabel(code: string): readonly string[] {
  const text = code.trim();
  const crate = /^crate [^:]*: (.+)$/.exec(text)?.[1];
  if (crate !== undefined) return crate.split(' ');
  const at = /^https?:\/\/[^/]+\/at\/([^/?#]+)/.exec(text)?.[1];
  if (at !== undefined) return [decoded(at)];
  return /^\S+$/.test(text) ? [text] : [];
}

/** The panel of a full mark; undefined when this phone does not know it. */
export function placeOfMark(sites: KnownPanels['sites'], mark: string): KnownPlace | undefined {
  for (const site of sites)
    for (const window of site.windows)
      for (const panel of window.panels)
        if (mark === panel || mark.startsWith(`${panel}.`))
          return { site, window, panel, piece: mark.slice(panel.length + 1) };
  return undefined;
}

/**
 * The panel that a person means: a full mark, or one without its site, or without its window.
 *
 * @throws Ambiguous when several windows have such a panel
 */
export function placeTyped(sites: KnownPanels['sites'], typed: string): KnownPlace | undefined {
  const text = typed.trim();
  if (text === '') return undefined;
  const above = sites.flatMap((site) => [
    site.mark,
    ...site.windows.map((window) => `${site.mark}.${window.mark}`),
  ]);
  const found = [text, ...above.map((mark) => `${mark}.${text}`)]
    .map((mark) => placeOfMark(sites, mark))
    .filter((place) => place !== undefined);
  const panels = [...new Set(found.map(({ panel }) => panel))];
  if (panels.length > 1) throw new Ambiguous(panels);
  return found[0];
}

export const markOfPlace = ({ panel, piece }: KnownPlace): string =>
  piece === '' ? panel : `${panel}.${piece}`;

function decoded(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}
