/** Work that is not in the archive yet, kept in this browser until it is. */
import { del, get, set } from 'idb-keyval';
import type { Drawing } from '#libs/net';

export interface KeptWork {
  /** the revision that it was begun on */
  readonly revision: number;
  readonly drawing: Drawing;
}

/** One a person and panel: two people at one bench do not find each other's. */
const keyOf = (personId: string, panelId: string) => `drawing ${personId} ${panelId}`;

export const keepWork = (personId: string, panelId: string, work: KeptWork): Promise<void> =>
  set(keyOf(personId, panelId), work);

export const keptWork = (personId: string, panelId: string): Promise<KeptWork | undefined> =>
  get<KeptWork>(keyOf(personId, panelId));

export const dropWork = (personId: string, panelId: string): Promise<void> =>
  del(keyOf(personId, panelId));
