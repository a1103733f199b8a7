/** What the drawing shows: its plain words, and which shade each panel and each piece gets. */
import type { Where } from '../../platform/api/custody.js';
import type { PanelLeads, SaidPiece, WindowPanel } from '../../platform/api/windows.js';
import { say } from '../../platform/language/say.js';
import type { Hatch } from '../hatches.js';

export const shows = [
  'work',
  'where',
  'condition',
  'terms',
  'last-work',
  'last-kind',
  'glass',
  'profile',
  'doubts',
  'findings',
  'drawings',
] as const;
export type Shows = (typeof shows)[number];

export const showWords: Readonly<Record<Shows, string>> = {
  work: say('state of work'),
  where: say('where it is'),
  condition: say('condition class'),
  terms: say('terms found'),
  'last-work': say('last intervention, by age'),
  'last-kind': say('last intervention, by kind'),
  glass: say('glass kind'),
  profile: say('lead profile'),
  doubts: say('doubts left'),
  findings: say('findings'),
  drawings: say('lead drawings'),
};

/** One entry of the key. */
export interface Shade {
  readonly key: string;
  readonly words: string;
  readonly hatch: Hatch;
}

export interface Showing {
  readonly what: Shows;
  /** in the order of the key */
  readonly shades: readonly Shade[];
  /** key of the panel's shade */
  readonly ofPanel: (windowId: string, panel: WindowPanel) => string;
  /** key of a piece's shade; undefined where nothing is said of it */
  readonly ofPiece?: (piece: SaidPiece) => string | undefined;
  /** a number that stands with the panel's mark */
  readonly countOf?: (panel: WindowPanel) => number;
}

/** What a showing is made from. */
export interface ShowingOf {
  readonly panels: readonly WindowPanel[];
  /** profiles that occur, one for each panel that has it */
  readonly profiles: readonly string[];
  /** by window; undefined while it is read */
  readonly leads: ReadonlyMap<string, readonly PanelLeads[]> | undefined;
  /** by window, then by the panel's mark; undefined while it is read */
  readonly where: ReadonlyMap<string, ReadonlyMap<string, Where>> | undefined;
  /** terms that were chosen, none: all */
  readonly terms: readonly string[];
  readonly termWords: (term: string) => string;
  readonly operationWords: (operation: string) => string;
  /** YYYY-MM-DD: ages are counted back from it */
  readonly day: string;
}
