import { useMemo } from 'react';
import { readInterventions } from '../platform/api/interventions.js';
import { readSites, type Site } from '../platform/api/sites.js';
import { readWindow, readWindows, type WindowAnswer } from '../platform/api/windows.js';
import { useAnswer } from '../platform/use-answer.js';
import type { Happening } from './time-marks.js';
import { type StandingSite, standUp } from './wall-layout.js';

/** Windows whose panels are asked for at once; a larger wall asks as one comes near. */
const mostWindows = 40;

export interface Wall {
  readonly standing: readonly StandingSite[];
  readonly details: ReadonlyMap<string, WindowAnswer>;
  readonly happenings: readonly Happening[];
}

/** All sites one may see, their windows, and the panels of the windows that are looked at. */
export function useWall(siteId: string | null): { wall?: Wall; why?: string; again: () => void } {
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
  const wanted = (standing ?? [])
    .filter(({ site }) => siteId === null || site.siteId === siteId)
    .flatMap((at) => at.windows.map(({ window }) => window.windowId))
    .slice(0, mostWindows);
  const details = useAnswer(standing ? `panels ${wanted.join(' ')}` : null, async (signal) => {
    const answers = await Promise.all(wanted.map((windowId) => readWindow(windowId, signal)));
    return new Map(answers.map((answer) => [answer.windowId, answer]));
  });
  const shownSites = (sites.value ?? []).filter(
    (site) => siteId === null || site.siteId === siteId,
  );
  const work = useAnswer(
    sites.value ? `work ${shownSites.map((site) => site.siteId).join(' ')}` : null,
    (signal) => workOf(shownSites, signal),
  );
  const again = () => {
    for (const answer of [sites, windows, details, work]) answer.again();
  };
  const why = sites.why ?? windows.why ?? details.why;
  if (!standing) return why === undefined ? { again } : { why, again };
  return {
    again,
    ...(why === undefined ? {} : { why }),
    wall: {
      standing,
      details: details.value ?? noDetails,
      happenings: work.value ?? [],
    },
  };
}

const noDetails: ReadonlyMap<string, WindowAnswer> = new Map();

async function workOf(sites: readonly Site[], signal: AbortSignal): Promise<readonly Happening[]> {
  const all = await Promise.all(sites.map((site) => readInterventions(site.siteId, null, signal)));
  return all
    .flat()
    .flatMap((done) =>
      done.happened
        ? [{ happened: done.happened, words: done.operation.replaceAll('.', ' ') }]
        : [],
    );
}
