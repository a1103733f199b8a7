/** What the phone room needs when there is no line: who is signed in, which archive, which panels. */
import { get, set } from 'idb-keyval';
import { readSites, type Site, siteMark } from '../platform/api/sites.js';
import type { ArchiveState, Me } from '../platform/api/state.js';
import { readWindow, readWindows } from '../platform/api/windows.js';

export interface KnownPerson {
  readonly archiveId: string;
  readonly isDemo: boolean;
  readonly fingerprintShort: string;
  readonly me: Me;
}

export interface KnownPanels {
  readonly archiveId: string;
  /** RFC 3339: when they were read */
  readonly readAt: string;
  readonly sites: readonly {
    readonly siteId: string;
    readonly mark: string;
    readonly name: string;
    readonly windows: readonly {
      readonly mark: string;
      readonly title: string;
      /** full marks, in the order of the drawing */
      readonly panels: readonly string[];
    }[];
  }[];
}

const PERSON = 'phone person';
const PANELS = 'phone panels';

export const knownPerson = (): Promise<KnownPerson | undefined> => get<KnownPerson>(PERSON);
export const knownPanels = (): Promise<KnownPanels | undefined> => get<KnownPanels>(PANELS);

/** Keeps who is signed in here, for the next start without a line. */
export async function rememberPerson(state: ArchiveState, me: Me): Promise<KnownPerson> {
  const { id: archiveId, fingerprintShort } = state.archive;
  const person = { archiveId, isDemo: state.demo, fingerprintShort, me };
  await set(PERSON, person);
  return person;
}

/** Reads every panel that this person may see and keeps the list. */
export async function rememberPanels(archiveId: string, signal: AbortSignal): Promise<KnownPanels> {
  const sites: KnownPanels['sites'][number][] = [];
  for (const site of await readSites(signal)) sites.push(await siteOf(site, signal));
  const panels = { archiveId, readAt: new Date().toISOString(), sites };
  await set(PANELS, panels);
  return panels;
}

async function siteOf(site: Site, signal: AbortSignal): Promise<KnownPanels['sites'][number]> {
  const windows: KnownPanels['sites'][number]['windows'][number][] = [];
  for (const { windowId, mark, title } of await readWindows(site.siteId, signal)) {
    const { fullMark, panels } = await readWindow(windowId, {}, signal);
    windows.push({ mark, title, panels: panels.map((panel) => `${fullMark}.${panel.mark}`) });
  }
  return { siteId: site.siteId, mark: siteMark(site), name: site.name, windows };
}
