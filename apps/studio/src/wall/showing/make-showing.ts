import { type WhereKind, whereKind, whereKinds, whereWords } from '../../custody/say-where.js';
import type { WindowPanel } from '../../platform/api/windows.js';
import { CLASSES, isSeen, sayClass } from '../../platform/condition-class.js';
import { say } from '../../platform/language/say.js';
import { workStates, workStateWords } from '../../platform/work-state.js';
import {
  amber,
  calm,
  dark,
  type Hatch,
  kinds,
  mixed,
  others,
  plain,
  steps,
  unreached,
  unseen,
  workHatches,
} from '../hatches.js';
import { ageKey, ages } from './ages.js';
import type { Shade, Showing, ShowingOf, Shows } from './showing.js';

const none = (words: string): Shade => ({ key: 'none', words, hatch: plain });

export function makeShowing(what: Shows, of: ShowingOf): Showing {
  return makers[what](of);
}

const makers: Readonly<Record<Shows, (of: ShowingOf) => Showing>> = {
  work: () => ({
    what: 'work',
    shades: workStates.map((key) => ({ key, words: workStateWords[key], hatch: workHatches[key] })),
    ofPanel: (_, panel) => panel.workState,
  }),
  where: ({ where }) => ({
    what: 'where',
    shades: whereKinds.map((key) => ({ key, words: whereWords(key), hatch: whereHatch[key] })),
    ofPanel: (windowId, panel) => {
      const one = where?.get(windowId)?.get(panel.mark);
      return one === undefined ? 'opening' : whereKind(one);
    },
  }),
  condition: () => ({
    what: 'condition',
    shades: [
      ...CLASSES.map((key) => ({
        key,
        words: sayClass(key),
        hatch: isSeen(key) ? steps[Number(key)]! : key === 'not-inspected' ? unseen : unreached,
      })),
      none(say('no class given')),
    ],
    ofPanel: (_, panel) =>
      panel.condition === null ? 'none' : String(panel.condition.conditionClass),
  }),
  terms: termsShowing,
  'last-work': ({ day }) => ({
    what: 'last-work',
    shades: [...ages, none(say('no work recorded'))],
    ofPanel: (_, { lastWork }) => (lastWork === null ? 'none' : ageKey(lastWork.happened, day)),
    ofPiece: ({ lastWork }) => (lastWork === null ? undefined : ageKey(lastWork.happened, day)),
  }),
  'last-kind': ({ panels, operationWords }) => {
    const known = keyed(
      panels.flatMap(({ lastWork }) => (lastWork === null ? [] : [lastWork.operation])),
      operationWords,
    );
    return {
      what: 'last-kind',
      shades: [...known.shades, none(say('no work recorded'))],
      ofPanel: (_, { lastWork }) => (lastWork === null ? 'none' : known.keyOf(lastWork.operation)),
      ofPiece: ({ lastWork }) => (lastWork === null ? undefined : known.keyOf(lastWork.operation)),
    };
  },
  glass: ({ panels }) => {
    const known = keyed(panels.flatMap(({ glass }) => repeated(glass)));
    return {
      what: 'glass',
      shades: [...known.shades, several(say('several kinds')), none(say('not described'))],
      ofPanel: (_, { glass }) => oneOf(Object.keys(glass), known.keyOf),
      ofPiece: ({ glass }) => (glass === null ? undefined : known.keyOf(glass)),
    };
  },
  profile: ({ leads, profiles }) => {
    const byWindow = new Map(
      [...(leads ?? [])].map(([id, list]) => [id, new Map(list.map((one) => [one.mark, one]))]),
    );
    const known = keyed(profiles);
    return {
      what: 'profile',
      shades: [
        ...known.shades,
        several(say('several profiles')),
        { key: 'ungauged', words: say('drawn, none gauged'), hatch: dark },
        none(say('not drawn yet')),
      ],
      ofPanel: (windowId, panel) => {
        const one = byWindow.get(windowId)?.get(panel.mark);
        if (one === undefined) return 'none';
        const named = Object.keys(one.profiles);
        return named.length === 0 ? 'ungauged' : oneOf(named, known.keyOf);
      },
    };
  },
  doubts: () => ({
    what: 'doubts',
    shades: [
      { key: '0', words: say('none left'), hatch: calm },
      { key: '1', words: say('1 to 4 left'), hatch: steps[1]! },
      { key: '2', words: say('5 or more'), hatch: steps[3]! },
      none(say('not drawn yet')),
    ],
    ofPanel: (_, { doubts }) =>
      doubts === null ? 'none' : doubts === 0 ? '0' : doubts < 5 ? '1' : '2',
    countOf: ({ doubts }) => doubts ?? 0,
  }),
  findings: () => ({
    what: 'findings',
    shades: countShades(say('nothing recorded'), say('findings')),
    ofPanel: (_, { findings }) => countKey(findings),
    countOf: ({ findings }) => findings,
  }),
  drawings: () => ({
    what: 'drawings',
    shades: [
      none(say('not drawn yet')),
      { key: 'drawn', words: say('drawn, not signed'), hatch: amber },
      { key: 'signed', words: say('signed'), hatch: calm },
    ],
    ofPanel: (_, { netRevision, signedRevision }) =>
      netRevision === null ? 'none' : signedRevision === netRevision ? 'signed' : 'drawn',
  }),
};

/** In the place where it belongs plain, the further away the more it is marked. */
const whereHatch: Readonly<Record<WhereKind, Hatch>> = {
  opening: plain,
  window: dark,
  crate: steps[1]!,
  bench: amber,
  place: others,
  holder: mixed,
};
/** With no term or one: how many. With several: which. */
function termsShowing({ terms, termWords }: ShowingOf): Showing {
  const foundOf = (counts: Readonly<Record<string, number>>) =>
    terms.length === 0 ? Object.keys(counts) : terms.filter((term) => (counts[term] ?? 0) > 0);
  const countOf = (counts: Readonly<Record<string, number>>) =>
    foundOf(counts).reduce((sum, term) => sum + (counts[term] ?? 0), 0);
  if (terms.length < 2) {
    const one = terms[0] === undefined ? say('findings') : termWords(terms[0]);
    return {
      what: 'terms',
      shades: countShades(
        say('no {terms}', { terms: terms[0] === undefined ? say('finding') : one }),
        one,
      ),
      ofPanel: (_, panel) => countKey(countOf(panel.terms)),
      ofPiece: (piece) => {
        const count = countOf(piece.terms);
        return count === 0 ? undefined : countKey(count);
      },
      countOf: (panel) => countOf(panel.terms),
    };
  }
  const known = keyed(terms, termWords);
  return {
    what: 'terms',
    shades: [...known.shades, several(say('several of them')), none(say('none of them'))],
    ofPanel: (_, panel) => oneOf(foundOf(panel.terms), known.keyOf),
    ofPiece: (piece) => {
      const found = foundOf(piece.terms);
      return found.length === 0 ? undefined : oneOf(found, known.keyOf);
    },
    countOf: (panel) => countOf(panel.terms),
  };
}

const several = (words: string): Shade => ({ key: 'several', words, hatch: mixed });

/** Shades of the commonest kinds, the rest together. */
function keyed(
  all: readonly string[],
  wordsOf: (kind: string) => string = (kind) => kind,
): { readonly shades: readonly Shade[]; readonly keyOf: (kind: string) => string } {
  const counts = new Map<string, number>();
  for (const kind of all) counts.set(kind, (counts.get(kind) ?? 0) + 1);
  const common = [...counts]
    .sort(([a, m], [b, n]) => n - m || (a < b ? -1 : 1))
    .slice(0, kinds.length)
    .map(([kind]) => kind);
  return {
    shades: [
      ...common.map((kind, i) => ({ key: `is ${kind}`, words: wordsOf(kind), hatch: kinds[i]! })),
      ...(counts.size > common.length
        ? [{ key: 'others', words: say('others'), hatch: others }]
        : []),
    ],
    keyOf: (kind) => (common.includes(kind) ? `is ${kind}` : 'others'),
  };
}

const oneOf = (found: readonly string[], keyOf: (kind: string) => string): string =>
  found.length === 0 ? 'none' : found.length > 1 ? 'several' : keyOf(found[0]!);

const repeated = (counts: Readonly<Record<string, number>>): string[] =>
  Object.entries(counts).flatMap(([kind, count]) => Array.from({ length: count }, () => kind));

const countShades = (nothing: string, many: string): readonly Shade[] => [
  none(nothing),
  { key: 'few', words: say('1 to 4 {many}', { many }), hatch: steps[1]! },
  { key: 'many', words: say('5 or more'), hatch: steps[3]! },
];
const countKey = (count: number): string => (count === 0 ? 'none' : count < 5 ? 'few' : 'many');

/** Panels of each shade. */
export function countShaded(
  showing: Showing,
  panels: ReadonlyMap<string, readonly WindowPanel[]>,
): ReadonlyMap<string, number> {
  const counts = new Map<string, number>();
  for (const [windowId, list] of panels)
    for (const panel of list) {
      const key = showing.ofPanel(windowId, panel);
      counts.set(key, (counts.get(key) ?? 0) + 1);
    }
  return counts;
}
