/** Work that is not in the archive yet, kept in this browser until it is: every act of it, to be undone. */
import { del, get, set } from 'idb-keyval';
import { type Drawing, type History, mapHistory, putOnTop, shortHistory } from '#libs/net';

export interface KeptWork {
  /** the revision that it was begun on */
  readonly revision: number;
  readonly history: History<Drawing>;
}

/** Of a drawing of 300 pieces a hundred acts are copied in a few ms; the oldest are kept as one. */
const mostActs = 100;

/** One a person and panel: two people at one bench do not find each other's. */
const keyOf = (personId: string, panelId: string) => `drawn ${personId} ${panelId}`;

export const keepWork = (personId: string, panelId: string, work: KeptWork): Promise<void> =>
  set(keyOf(personId, panelId), { ...work, history: shortHistory(work.history, mostActs) });

export const keptWork = (personId: string, panelId: string): Promise<KeptWork | undefined> =>
  get<KeptWork>(keyOf(personId, panelId));

export const dropWork = (personId: string, panelId: string): Promise<void> =>
  del(keyOf(personId, panelId));

/** Every act as if it had been done on the newer drawing; undone to the end, that one is left. */
export const historyOnTop = (
  history: History<Drawing>,
  base: Drawing,
  newer: Drawing,
): History<Drawing> => mapHistory(history, (mine) => putOnTop(base, mine, newer));
