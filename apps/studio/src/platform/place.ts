/**
 * Where one is in the studio, as the URL says it: the mark is the address.
 *
 *     /                      the wall: every site
 *     /at/SLM.wI             a site, window, panel or piece
 *     /at/SLM.wI.2b/rub      an act at that place
 *     /search?q=crack        words
 *     /people                who may do what
 *     /lenses                target sheet and calibrations of lenses
 *     /phone                 photographs on their way from this device
 *     /recovery-sheet        the words that bring the archive back
 */

export const acts = [
  'send',
  'rub',
  'lay',
  'find',
  'trace',
  'made',
  'apart',
  'tests',
  'work',
  'papers',
  'add-window',
  'redraw',
  'measure',
  'draw',
  'found',
  'compare',
  'print',
  'import',
  'bars',
  'works',
  'estimate',
  'custody',
  'rebuild',
  'survey',
  'ranking',
  'bulge',
  'weight',
  'shards',
  'glass',
] as const;
/** What is done at a place: send pictures, rub, lay a picture under the drawing, record a finding… */
export type Act = (typeof acts)[number];

export type Place =
  | { readonly on: 'wall' }
  | { readonly on: 'add-site' }
  | { readonly on: 'search' }
  | { readonly on: 'people' }
  | { readonly on: 'lenses' }
  | { readonly on: 'recovery-sheet' }
  | { readonly on: 'phone' }
  | {
      readonly on: 'mark';
      readonly mark: string;
      readonly act: Act | null;
      readonly thing: string | null;
    };

export function parsePlace(pathname: string): Place {
  const [head = '', mark = '', act = '', thing = ''] = pathname
    .split('/')
    .slice(1)
    .map((part) => decodeURIComponent(part));
  if (head === 'search') return { on: 'search' };
  if (head === 'people') return { on: 'people' };
  if (head === 'lenses') return { on: 'lenses' };
  if (head === 'recovery-sheet') return { on: 'recovery-sheet' };
  if (head === 'phone') return { on: 'phone' };
  if (head === 'add-site') return { on: 'add-site' };
  if (head === 'at' && mark !== '')
    return {
      on: 'mark',
      mark,
      act: acts.find((known) => known === act) ?? null,
      thing: thing === '' ? null : thing,
    };
  return { on: 'wall' };
}

/** @param mark full mark: `SLM.wI.2b.17` */
export function pathOf(mark: string, act?: Act, thing?: string): string {
  const parts = ['at', mark.replaceAll(':', '%3A'), act, thing].filter(
    (part) => part !== undefined,
  );
  return `/${parts.join('/')}`;
}

/** Every mark from the site down: `SLM`, `SLM.wI`, `SLM.wI.2b`. */
export function marksAbove(mark: string): readonly string[] {
  const parts = mark.split('.');
  return parts.map((_, index) => parts.slice(0, index + 1).join('.'));
}
