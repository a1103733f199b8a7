import { useMemo, useState } from 'react';
import { readSites } from '../platform/api/sites.js';
import {
  type Happening,
  readHappenings,
  readWindow,
  readWindows,
  type WindowAnswer,
} from '../platform/api/windows.js';
import { useAnswer } from '../platform/use-answer.js';
import { momentOf } from './time/moment.js';
import { type StandingSite, standUp } from './wall-layout.js';

/** Windows whose panels are asked for at once; a larger wall asks as one comes near. */
const mostWindows = 40;

export interface Wall {
  readonly standing: readonly StandingSite[];
  readonly details: ReadonlyMap<string, WindowAnswer>;
  /** false while another day is read than is shown */
  readonly isSettled: boolean;
  readonly happenings: readonly Happening[];
}

/** All sites one may see, their windows, and the panels of the windows that are looked at. */
export function useWall(
  siteId: string | null,
  { at, known }: { readonly at: string | null; readonly known: string | null },
): { wall?: Wall; why?: string; again: () => void } {
  const sites = useAnswer('sites', readSites);
  const key = sites.value?.map((site) => site.siteId).join(' ');
  const windows = useAnswer(key === undefined ? null : `windows ${key}`, async (signal) =>
    Promise.all(
      (sites.value ?? []).map(async (site) => ({
        site,
        windows: await readWindows(site.siteId, signal),
      })),
    ),
  );
  const standing = useMemo(
    () => (windows.value ? standUp(windows.value) : undefined),
    [windows.value],
  );
  const wanted = wantedOf(standing, siteId);
  const details = useDetails(standing ? wanted : null, at, known);
  const shownSites = (sites.value ?? []).filter(
    (site) => siteId === null || site.siteId === siteId,
  );
  const told = useAnswer(
    sites.value
      ? `happenings ${shownSites.map((site) => site.siteId).join(' ')} ${known ?? ''}`
      : null,
    async (signal) => {
      const asked = known === null ? {} : { known };
      const all = await Promise.all(
        shownSites.map((site) => readHappenings(site.siteId, asked, signal)),
      );
      return all.flat();
    },
  );
  const happenings = useNewest(told.value);
  const again = () => {
    for (const answer of [sites, windows, details, told]) answer.again();
  };
  const why = sites.why ?? windows.why ?? details.why;
  if (!standing) return why === undefined ? { again } : { why, again };
  return {
    again,
    ...(why === undefined ? {} : { why }),
    wall: {
      standing,
      details: details.value ?? noDetails,
      isSettled: details.isSettled,
      happenings: happenings ?? noHappenings,
    },
  };
}

/** The panels of some windows on a day; while another day is read the last one stays. */
export function useDetails(
  windowIds: readonly string[] | null,
  at: string | null,
  known: string | null,
) {
  const which = windowIds?.join(' ') ?? '';
  const details = useAnswer(
    windowIds ? `panels ${which} ${at ?? ''} ${known ?? ''}` : null,
    async (signal) => {
      const moment = momentOf(at, known);
      return byWindow(windowIds ?? [], (windowId) => readWindow(windowId, moment, signal));
    },
  );
  return { ...details, value: useNewest(details.value), isSettled: details.value !== undefined };
}

/** The windows whose panels are asked for. */
export const wantedOf = (
  standing: readonly StandingSite[] | undefined,
  siteId: string | null,
): readonly string[] =>
  (standing ?? [])
    .filter(({ site }) => siteId === null || site.siteId === siteId)
    .flatMap((row) => row.windows.map(({ window }) => window.windowId))
    .slice(0, mostWindows);

/** What is read of each window, by the window's id. */
export async function byWindow<T>(
  windowIds: readonly string[],
  read: (windowId: string) => Promise<T>,
): Promise<ReadonlyMap<string, T>> {
  return new Map(await Promise.all(windowIds.map(async (id) => [id, await read(id)] as const)));
}

/** The newest value that there was. */
export function useNewest<T>(value: T | undefined): T | undefined {
  const [kept, setKept] = useState(value);
  if (value !== undefined && value !== kept) setKept(value);
  return value ?? kept;
}

const noDetails: ReadonlyMap<string, WindowAnswer> = new Map();
const noHappenings: readonly Happening[] = [];
