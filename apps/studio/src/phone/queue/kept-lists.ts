/**
 * Lists that were begun in this browser and are not recorded yet: a visit panel by panel, pieces as they
 * come off the lead. The rooms keep them (`useKept`); here they go out with the queue and come in again.
 */
import { isLifts, type Lifts } from '../../apart/lift-states.js';
import { EMPTY_PANEL, isDraft, type SurveyDraft } from '../../survey/survey-draft.js';
import { readJson } from './read-json.js';

export type KeptList =
  | { readonly kind: 'survey'; readonly of: string; readonly said: SurveyDraft }
  | { readonly kind: 'lifts'; readonly of: string; readonly said: Lifts };

/** What a list of a file became here. */
export interface ListTakenUp {
  /** something of it was not here before */
  readonly isAdded: boolean;
  /** places of which this browser says another thing, which stands */
  readonly differing: number;
}

const KEY = /^(survey|lifts) ([0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12})$/;

/** Where the room of a list keeps it. @param of the window or the panel that it is about */
export const placeOfList = (kind: KeptList['kind'], of: string): string => `${kind} ${of}`;

/** Every list on which something was said; what cannot be read is none. */
export function readLists(storage: Storage): KeptList[] {
  return Array.from({ length: storage.length }, (_, at) => storage.key(at) ?? '')
    .toSorted()
    .flatMap((place) => {
      const [, kind, of] = KEY.exec(place) ?? [];
      const list = kind && of ? listOf({ kind, of, said: readJson(storage.getItem(place)) }) : null;
      return list !== null && isBegun(list) ? [list] : [];
    });
}

/** A list as a file holds it; null when it is none. */
export function listOf(given: unknown): KeptList | null {
  if (typeof given !== 'object' || given === null) return null;
  const { kind, of, said } = given as Partial<Record<'kind' | 'of' | 'said', unknown>>;
  if (typeof of !== 'string' || !KEY.test(`${String(kind)} ${of}`)) return null;
  if (kind === 'survey' && isDraft(said)) return { kind, of, said };
  if (kind === 'lifts' && isLifts(said)) return { kind, of, said };
  return null;
}

/**
 * Puts what a file says beside what is kept here. Nothing that was said here is changed.
 *
 * @throws DOMException `QuotaExceededError` when there is no room
 */
export function takeUpList(storage: Storage, list: KeptList): ListTakenUp {
  const place = placeOfList(list.kind, list.of);
  const here = listOf({ kind: list.kind, of: list.of, said: readJson(storage.getItem(place)) });
  const { said, isAdded, differing } = merged(here, list);
  if (isAdded) storage.setItem(place, JSON.stringify(said));
  return { isAdded, differing };
}

function merged(here: KeptList | null, list: KeptList): ListTakenUp & { said: KeptList['said'] } {
  if (here === null || !isBegun(here)) return { said: list.said, isAdded: true, differing: 0 };
  if (here.kind === 'lifts') return beside(here.said, list.said as Lifts, () => false);
  const theirs = list.said as SurveyDraft;
  const words = beside<string>(here.said.said, theirs.said, (text) => text.trim() === '');
  const panels = beside(here.said.panels, theirs.panels, (panel) => isSame(panel, EMPTY_PANEL));
  return {
    said: { ...here.said, said: words.said as SurveyDraft['said'], panels: panels.said },
    isAdded: words.isAdded || panels.isAdded,
    differing: words.differing + panels.differing,
  };
}

function beside<V>(
  here: Readonly<Record<string, V>>,
  theirs: Readonly<Record<string, V>>,
  isUnsaid: (value: V) => boolean,
): ListTakenUp & { readonly said: Record<string, V> } {
  const said = { ...here };
  let isAdded = false;
  let differing = 0;
  for (const [key, value] of Object.entries(theirs)) {
    const mine = here[key];
    if (isUnsaid(value) || isSame(mine, value)) continue;
    if (mine === undefined || isUnsaid(mine)) {
      said[key] = value;
      isAdded = true;
    } else differing++;
  }
  return { said, isAdded, differing };
}

function isBegun(list: KeptList): boolean {
  if (list.kind === 'lifts') return Object.keys(list.said).length > 0;
  const { said, panels } = list.said;
  return (
    Object.values(said).some((text) => text.trim() !== '') ||
    Object.values(panels).some((panel) => !isSame(panel, EMPTY_PANEL))
  );
}

/** Members in any order: a list that went through a file reads the same. */
const isSame = (a: unknown, b: unknown): boolean =>
  JSON.stringify(sorted(a)) === JSON.stringify(sorted(b));

function sorted(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(sorted);
  if (typeof value !== 'object' || value === null) return value;
  const members = Object.entries(value).toSorted(([a], [b]) => (a < b ? -1 : 1));
  return Object.fromEntries(members.map(([key, one]) => [key, sorted(one)]));
}
