import { statfs } from 'node:fs/promises';
import type { ReachedArchive } from '../admin/reach-archive.js';
import { type DoctorCheck, type Finding, inWords } from './check.js';

/** Room for some days of photographs; for the database to end what it is at. Common practice, no source. */
const LOOK_BYTES = 10e9;
const BAD_BYTES = 1e9;

export const diskSpace: DoctorCheck = {
  name: 'disk space',
  async run(archive) {
    let worst: Finding = { state: 'good', says: '' };
    const told: string[] = [];
    for (const folder of foldersOf(archive)) {
      const found = await statfs(folder).catch(() => undefined);
      if (found === undefined) continue; // not there yet, or away: the check of the stores tells
      const { bavail, bsize } = found;
      const freeBytes = bavail * bsize;
      told.push(`${inWords(freeBytes)} free for ${folder}`);
      if (freeBytes < BAD_BYTES) worst = { state: 'bad', says: '' };
      else if (freeBytes < LOOK_BYTES && worst.state === 'good')
        worst = { state: 'look', says: '' };
    }
    return {
      state: worst.state,
      says: told.join('; '),
      ...(worst.state === 'good'
        ? {}
        : { doThis: 'make room: a full disk takes no more uploads (what is there stays whole)' }),
    };
  },
};

function foldersOf({ homePath, config }: ReachedArchive): string[] {
  const places = [config.objects, config.objectsReplica ?? ''];
  const folders = places
    .filter((place) => place.startsWith('file:'))
    .map((place) => place.slice('file:'.length).replace(/^\/\/(?=\/)/, ''));
  return [...new Set([homePath, ...folders])];
}
