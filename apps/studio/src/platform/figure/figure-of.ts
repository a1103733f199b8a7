import type { FigureKind } from './explanations.js';

/** What a "?" is asked about. */
export interface FigureOf {
  /** how it was come by: `explanations.ts` */
  readonly kind: FigureKind;
  /** what stands beside it on the screen: 'panel size' */
  readonly of: string;
  /** what it was reckoned from, a name and its value each */
  readonly inputs?: readonly (readonly [string, string])[] | undefined;
  /** the entry it stands on: the site whose history holds it, and its place there */
  readonly entry?: { readonly line: string; readonly place: number } | undefined;
}
