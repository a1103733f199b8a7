import { useEffect, useState } from 'react';
import type { Me } from '../platform/api/state.js';
import { say } from '../platform/language/say.js';
import type { Job } from './queue/picture.js';

const KEY = 'mullion-phone-job';

/** What is photographed next; kept for the next start, the lamp's place excepted. */
export function useJob(me: Me | undefined): [Job | null, (job: Job | null) => void] {
  const [job, setJob] = useState<Job | null>(keptJob);
  useEffect(() => {
    if (job !== null) localStorage.setItem(KEY, JSON.stringify({ ...job, clockHour: null }));
  }, [job]);
  const author = me?.displayName ?? '';
  return [job === null || job.author === author ? job : { ...job, author }, setJob];
}

function keptJob(): Job | null {
  try {
    return JSON.parse(localStorage.getItem(KEY) ?? 'null') as Job | null;
  } catch {
    return null;
  }
}

/** A job at a place, with what is most often wanted. */
export const usualJob = (siteId: string, mark: string): Job => ({
  siteId,
  mark,
  kind: 'photograph',
  light: 'transmitted',
  clockHour: null,
  elevationDeg: null,
  stage: 'before',
  face: 'inside',
  layer: 'front',
  author: '',
  note: '',
});

/** What must be said before the shot; null when nothing is missing. */
export function missingOf(job: Job | null): string | null {
  if (job === null) return say('Say which panel this is.');
  if (job.kind === 'photograph' && job.light === 'raking' && job.clockHour === null)
    return say('Say where the lamp stands: the phone cannot see it.');
  return null;
}
